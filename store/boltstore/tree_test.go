package boltstore

import (
	"bytes"
	"encoding/binary"
	"hash/fnv"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What stands in bbolt's files is written here by hand, from its file format, version 2:
// pages of 1024 bytes with a head of 16, entries of 16, all in little-endian order.

const handPage = 1024

type entry struct {
	key, value string
	flags      uint32 // of a leaf's entry
	child      uint64 // of a branch's entry
}

// pageOf writes a page of some pages' length.
func pageOf(id uint64, flags, overflow int, entries ...entry) []byte {
	b := make([]byte, handPage*(1+overflow))
	le := binary.LittleEndian
	le.PutUint64(b, id)
	le.PutUint16(b[8:], uint16(flags))
	le.PutUint16(b[10:], uint16(len(entries)))
	le.PutUint32(b[12:], uint32(overflow))
	text := pageHead + elementSize*len(entries)
	for i, e := range entries {
		at := pageHead + elementSize*i
		if flags == flagBranch {
			le.PutUint32(b[at:], uint32(text-at))
			le.PutUint32(b[at+4:], uint32(len(e.key)))
			le.PutUint64(b[at+8:], e.child)
		} else {
			le.PutUint32(b[at:], e.flags)
			le.PutUint32(b[at+4:], uint32(text-at))
			le.PutUint32(b[at+8:], uint32(len(e.key)))
			le.PutUint32(b[at+12:], uint32(len(e.value)))
		}
		text += copy(b[min(text, len(b)):], e.key+e.value)
	}
	return b
}

// freePage writes the list of free pages; a long one has its length before the ids.
func freePage(id uint64, long bool, ids ...uint64) []byte {
	b := pageOf(id, flagFreelist, 0)
	le := binary.LittleEndian
	le.PutUint16(b[10:], uint16(len(ids)))
	at := pageHead
	if long {
		le.PutUint16(b[10:], 0xFFFF)
		le.PutUint64(b[at:], uint64(len(ids)))
		at += 8
	}
	for _, free := range ids {
		le.PutUint64(b[at:], free)
		at += 8
	}
	return b
}

// handFile is a file of whole pages behind its two first ones: the free list on page 2,
// the root on page 3.
func handFile(pages ...[]byte) ([]byte, fileMeta) {
	file := append(make([]byte, 2*handPage), slices.Concat(pages...)...)
	return file, fileMeta{pageSize: handPage, root: 3, freelist: 2, pages: uint64(len(file) / handPage)}
}

// Each file has one thing wrong, or is sound in a thing that is nearly wrong.
func TestWhatIsWrongWithATreeOfPages(t *testing.T) {
	free := freePage(2, false)
	leaf := pageOf(3, flagLeaf, 0, entry{key: "a", value: "1"}, entry{key: "b", value: "2"})
	fits := strings.Repeat("v", handPage-pageHead-elementSize-1) // beside a key of one byte
	inline := func(flags, n int) string {                        // a bucket within a value: no root, a sequence, a page
		return string(make([]byte, bucketHead)) + string(pageOf(0, flags, 0)[:n])
	}
	branch := func(keys ...string) []byte { // over the leaves 4 and 5
		var all []entry
		for i, key := range keys {
			all = append(all, entry{key: key, child: uint64(4 + i)})
		}
		return pageOf(3, flagBranch, 0, all...)
	}
	leaves := func(first, second []string) []byte {
		var both []byte
		for i, keys := range [][]string{first, second} {
			var all []entry
			for _, key := range keys {
				all = append(all, entry{key: key})
			}
			both = append(both, pageOf(uint64(4+i), flagLeaf, 0, all...)...)
		}
		return both
	}
	change := func(page []byte, at int, to byte) []byte {
		page = bytes.Clone(page)
		page[at] = to
		return page
	}
	for name, row := range map[string]struct {
		pages [][]byte
		wrong string // empty for a sound file
	}{
		"a leaf":                          {[][]byte{free, leaf}, ""},
		"a leaf without entries":          {[][]byte{free, pageOf(3, flagLeaf, 0)}, ""},
		"equal keys":                      {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "a"}, entry{key: "a"})}, "the key 61 is out of order"},
		"keys that go back":               {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "b"}, entry{key: "a"})}, "the key 61 is out of order"},
		"a value up to the end":           {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "a", value: fits})}, ""},
		"a value past the end":            {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "a", value: fits + "v"})}, "an entry reaches beyond its page"},
		"a value on two pages":            {[][]byte{free, pageOf(3, flagLeaf, 1, entry{key: "a", value: fits + "v"})}, ""},
		"a key past the end":              {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "k" + fits + "k"})}, "an entry reaches beyond its page"},
		"another page's number":           {[][]byte{free, pageOf(4, flagLeaf, 0)}, "page 3 says that it is page 4"},
		"an unknown type":                 {[][]byte{free, pageOf(3, 0x40, 0)}, "page 3: it has type 64"},
		"overflow up to the end":          {[][]byte{free, change(leaf, 12, 1), make([]byte, handPage)}, ""},
		"overflow past the end":           {[][]byte{free, change(leaf, 12, 1)}, "page 3 reaches beyond the end"},
		"overflow over a free page":       {[][]byte{freePage(2, false, 4), change(leaf, 12, 1), make([]byte, handPage)}, "page 4 is used twice"},
		"no list of free pages":           {[][]byte{pageOf(2, flagLeaf, 0), leaf}, "page 2 is not the list of free pages"},
		"a page that nobody has":          {[][]byte{free, leaf, make([]byte, handPage)}, "page 4 is neither used nor free"},
		"a free page":                     {[][]byte{freePage(2, false, 4), leaf, make([]byte, handPage)}, ""},
		"a free page in a long list":      {[][]byte{freePage(2, true, 4), leaf, make([]byte, handPage)}, ""},
		"a first page that is free":       {[][]byte{freePage(2, false, 1), leaf}, "the list of free pages names page 1"},
		"a free page past the end":        {[][]byte{freePage(2, false, 4), leaf}, "the list of free pages names page 4"},
		"a page that is free twice":       {[][]byte{freePage(2, false, 4, 4), leaf, make([]byte, handPage)}, "the list of free pages names page 4"},
		"a root that is free":             {[][]byte{freePage(2, false, 3), leaf}, "page 3 is used twice"},
		"as many free pages as fit":       {[][]byte{change(free, 10, 126), leaf}, "the list of free pages names page 0"},
		"more free pages than fit":        {[][]byte{change(free, 10, 127), leaf}, "the list of free pages claims 127 entries"},
		"a long list of more than fit":    {[][]byte{change(freePage(2, true), pageHead, 126), leaf}, "the list of free pages claims 126 entries"},
		"a long list as long as fits":     {[][]byte{change(freePage(2, true), pageHead, 125), leaf}, "the list of free pages names page 0"},
		"a branch":                        {[][]byte{free, branch("a", "m"), leaves([]string{"a", "l"}, []string{"m", "z"})}, ""},
		"a branch that leads nowhere":     {[][]byte{free, branch()}, "it leads nowhere"},
		"branch keys that are equal":      {[][]byte{free, branch("a", "a"), leaves(nil, nil)}, "the key 61 is out of order"},
		"a child before its branch":       {[][]byte{free, branch("b", "m"), leaves([]string{"a"}, []string{"m"})}, "page 4: the key 61 is out of order"},
		"a child at the next one's key":   {[][]byte{free, branch("a", "m"), leaves([]string{"a", "m"}, []string{"m"})}, "page 4: the key 6d is out of order"},
		"a last child before its branch":  {[][]byte{free, branch("a", "m"), leaves([]string{"a"}, []string{"l"})}, "page 5: the key 6c is out of order"},
		"a child past the end":            {[][]byte{free, branch("a", "m", "p"), leaves([]string{"a"}, []string{"m"})}, "page 6 is beyond the end"},
		"a child that is a parent":        {[][]byte{free, change(branch("a"), pageHead+8, 3)}, "page 3 is used twice"},
		"a bucket in a value":             {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "b", value: inline(flagLeaf, pageHead), flags: leafBucket})}, ""},
		"a bucket's page cut short":       {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "b", value: inline(flagLeaf, pageHead-1), flags: leafBucket})}, "a bucket is cut short"},
		"a bucket's head cut short":       {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "b", value: inline(flagLeaf, 0)[:bucketHead-1], flags: leafBucket})}, "a bucket is cut short"},
		"a bucket of another type":        {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "b", value: inline(flagBranch, pageHead), flags: leafBucket})}, "a bucket holds a page of type 1"},
		"a bucket on a page":              {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "b", value: "\x04" + strings.Repeat("\x00", bucketHead-1), flags: leafBucket}), pageOf(4, flagLeaf, 0)}, ""},
		"a bucket on a page past the end": {[][]byte{free, pageOf(3, flagLeaf, 0, entry{key: "b", value: "\x04" + strings.Repeat("\x00", bucketHead-1), flags: leafBucket})}, "page 4 is beyond the end"},
	} {
		t.Run(name, func(t *testing.T) {
			file, meta := handFile(row.pages...)
			err := checkTree(bytes.NewReader(file), int64(len(file)), meta, wholePages)
			if row.wrong == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorContains(t, err, row.wrong)
		})
	}
	file, meta := handFile(free, leaf)
	require.NoError(t, checkTree(bytes.NewReader(file), int64(len(file)), meta, pageHeads))
	require.NoError(t, checkTree(bytes.NewReader(file), int64(len(file))+handPage, meta, wholePages), "it may have grown further")
	require.EqualError(t, checkTree(bytes.NewReader(file), int64(len(file))-1, meta, wholePages), "it is cut short: it should hold 4 pages and holds 3")
	for pages, says := range map[uint64]string{1: "it claims to hold no pages", 2: "page 2 is beyond the end"} {
		meta.pages = pages
		require.EqualError(t, checkTree(bytes.NewReader(file), int64(len(file)), meta, wholePages), says)
	}
	file, meta = handFile(free, leaf, make([]byte, handPage))
	meta.freelist = noFreelist
	require.NoError(t, checkTree(bytes.NewReader(file), int64(len(file)), meta, wholePages), "without a list nobody knows what is free")
}

func TestFreePages(t *testing.T) {
	for want, list := range map[uint64][]byte{0: freePage(2, false), 3: freePage(2, false, 4, 5, 6), 2: freePage(2, true, 4, 5)} {
		file, meta := handFile(list)
		n, err := freePages(bytes.NewReader(file), meta)
		require.NoError(t, err)
		require.Equal(t, want, n)
		meta.freelist = noFreelist
		n, err = freePages(bytes.NewReader(file), meta)
		require.NoError(t, err)
		require.Zero(t, n)
		meta.freelist = 3
		_, err = freePages(bytes.NewReader(file), meta)
		require.ErrorContains(t, err, "reading the list of free pages")
	}
}

// metaOf writes one of the two first pages.
func metaOf(pageSize int, txid uint64) []byte {
	b := make([]byte, pageSize)
	m, le := b[pageHead:], binary.LittleEndian
	le.PutUint32(m, fileMagic)
	le.PutUint32(m[4:], fileVersion)
	le.PutUint32(m[8:], uint32(pageSize))
	le.PutUint64(m[40:], 4)
	le.PutUint64(m[48:], txid)
	sum := fnv.New64a()
	sum.Write(m[:metaSize-8])
	le.PutUint64(m[metaSize-8:], sum.Sum64())
	return b
}

// Pages have 1 to 64 KiB; of the two first ones the newer counts, and both must be whole.
func TestFirstPages(t *testing.T) {
	for size, known := range map[int]bool{512: false, 1024: true, 4096: true, 65536: true, 131072: false} {
		file := append(metaOf(size, 7), metaOf(size, 8)...)
		metas := readMetas(bytes.NewReader(file))
		require.Equal(t, known, len(metas) == 2, size)
		if !known {
			continue
		}
		meta, err := bothMetas(bytes.NewReader(file))
		require.NoError(t, err)
		require.EqualValues(t, 8, meta.txid)
		require.EqualValues(t, size, meta.pageSize)
		meta, err = bothMetas(bytes.NewReader(append(metaOf(size, 9), metaOf(size, 8)...)))
		require.NoError(t, err)
		require.EqualValues(t, 9, meta.txid)
		for _, first := range []int{0, size} { // each byte that counts, and one that does not
			for at := range metaSize {
				damaged := bytes.Clone(file)
				damaged[first+pageHead+at] ^= 1
				_, err := bothMetas(bytes.NewReader(damaged))
				require.ErrorContains(t, err, "one of its two first pages is damaged", at)
			}
			damaged := bytes.Clone(file)
			damaged[first+pageHead+metaSize] ^= 1
			_, err = bothMetas(bytes.NewReader(damaged))
			require.NoError(t, err)
		}
	}
	_, err := bothMetas(bytes.NewReader(make([]byte, 1<<17)))
	require.ErrorIs(t, err, errNoMeta)
	one := metaOf(smallestPage, 1)
	_, ok := readMeta(bytes.NewReader(one[:pageHead+metaSize]), 0)
	require.True(t, ok, "to its last byte")
	_, ok = readMeta(bytes.NewReader(one[:pageHead+metaSize-1]), 0)
	require.False(t, ok)
}
