package boltstore

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"slices"
)

// bbolt trusts its pages: a damaged one can send it beyond the file or round in
// circles. checkTree reads the pages of a file by itself and trusts nothing, so
// that a file can be judged before bbolt walks through it. The layout is bbolt's
// file format, version 2, in little-endian order.
const (
	fileMagic   = 0xED0CDAED
	fileVersion = 2

	pageHead     = 16 // id 8, flags 2, count 2, overflow 4
	elementSize  = 16
	bucketHead   = 16 // root 8, sequence 8
	metaSize     = 64
	noFreelist   = ^uint64(0)
	flagBranch   = 0x01
	flagLeaf     = 0x02
	flagFreelist = 0x10
	leafBucket   = 0x01

	smallestPage = 1 << 10
	largestPage  = 1 << 16
)

// fileMeta is one of the two pages that say where a file's tree begins.
type fileMeta struct {
	pageSize int64
	root     uint64
	freelist uint64
	pages    uint64 // one more than the highest page in use
	txid     uint64
}

func readMeta(file io.ReaderAt, offset int64) (m fileMeta, ok bool) {
	buf := make([]byte, pageHead+metaSize)
	if n, err := file.ReadAt(buf, offset); n < len(buf) && err != nil {
		return m, false
	}
	b := buf[pageHead:]
	le := binary.LittleEndian
	sum := fnv.New64a()
	sum.Write(b[:metaSize-8])
	if le.Uint32(b) != fileMagic || le.Uint32(b[4:]) != fileVersion || le.Uint64(b[metaSize-8:]) != sum.Sum64() {
		return m, false
	}
	m = fileMeta{pageSize: int64(le.Uint32(b[8:])), root: le.Uint64(b[16:]), freelist: le.Uint64(b[32:]), pages: le.Uint64(b[40:]), txid: le.Uint64(b[48:])}
	return m, m.pageSize >= smallestPage && m.pageSize <= largestPage
}

var errNoMeta = errors.New("neither of its two first pages is whole")

// bothMetas sees to it that both metas are whole and returns the newer one. When
// the newer one is damaged, bbolt goes on from the older one and without the
// last change.
func bothMetas(file io.ReaderAt) (fileMeta, error) {
	switch metas := readMetas(file); len(metas) {
	case 0:
		return fileMeta{}, errNoMeta
	case 1:
		return fileMeta{}, errors.New("one of its two first pages is damaged; the last change may be missing")
	default:
		return slices.MaxFunc(metas, func(a, b fileMeta) int { return cmp.Compare(a.txid, b.txid) }), nil
	}
}

// readMetas returns the metas that are whole.
func readMetas(file io.ReaderAt) (metas []fileMeta) {
	if m, ok := readMeta(file, 0); ok {
		metas = append(metas, m)
	}
	for size := int64(smallestPage); size <= largestPage; size *= 2 {
		if m, ok := readMeta(file, size); ok && m.pageSize == size {
			return append(metas, m)
		}
	}
	return metas
}

// treeCheck is one walk through a file.
type treeCheck struct {
	file  io.ReaderAt
	meta  fileMeta
	depth checkDepth
	seen  []bool // by page
}

// checkDepth says how much of a page that holds records is looked at.
type checkDepth int

const (
	wholePages checkDepth = iota
	pageHeads             // enough to see that bbolt can find its way
)

// checkTree walks every page that can be reached from a meta.
func checkTree(file io.ReaderAt, size int64, meta fileMeta, depth checkDepth) error {
	if meta.pages > uint64(size/meta.pageSize) {
		return fmt.Errorf("it is cut short: it should hold %d pages and holds %d", meta.pages, size/meta.pageSize)
	}
	if meta.pages < 2 {
		return errors.New("it claims to hold no pages")
	}
	t := &treeCheck{file: file, meta: meta, depth: depth, seen: make([]bool, meta.pages)}
	t.seen[0], t.seen[1] = true, true
	if err := t.freelist(); err != nil {
		return err
	}
	if err := t.bucket(meta.root, nil); err != nil {
		return err
	}
	if i := slices.Index(t.seen, false); i >= 0 && meta.freelist != noFreelist {
		return fmt.Errorf("page %d is neither used nor free", i)
	}
	return nil
}

// page reads a page with its overflow and sees to it that nothing else has it.
// Of a page of records no more than the head is read where that is enough.
func (t *treeCheck) page(id uint64) (b []byte, flags, count int, err error) {
	if id >= t.meta.pages {
		return nil, 0, 0, fmt.Errorf("page %d is beyond the end", id)
	}
	b = make([]byte, pageHead)
	if _, err := t.file.ReadAt(b, int64(id)*t.meta.pageSize); err != nil {
		return nil, 0, 0, fmt.Errorf("page %d cannot be read: %w", id, err)
	}
	le := binary.LittleEndian
	flags, count = int(le.Uint16(b[8:])), int(le.Uint16(b[10:]))
	overflow := uint64(le.Uint32(b[12:]))
	if got := le.Uint64(b); got != id {
		return nil, 0, 0, fmt.Errorf("page %d says that it is page %d", id, got)
	}
	if id+overflow >= t.meta.pages {
		return nil, 0, 0, fmt.Errorf("page %d reaches beyond the end", id)
	}
	for i := id; i <= id+overflow; i++ {
		if t.seen[i] {
			return nil, 0, 0, fmt.Errorf("page %d is used twice", i)
		}
		t.seen[i] = true
	}
	if flags == flagLeaf && id != t.meta.root && t.depth == pageHeads {
		return b, flags, 0, nil
	}
	b = make([]byte, int64(overflow+1)*t.meta.pageSize)
	if _, err := t.file.ReadAt(b, int64(id)*t.meta.pageSize); err != nil {
		return nil, 0, 0, fmt.Errorf("page %d cannot be read: %w", id, err)
	}
	return b, flags, count, nil
}

// freePages counts the pages that a file keeps for later use.
func freePages(file io.ReaderAt, meta fileMeta) (uint64, error) {
	if meta.freelist == noFreelist {
		return 0, nil
	}
	b := make([]byte, pageHead+8)
	if _, err := file.ReadAt(b, int64(meta.freelist)*meta.pageSize); err != nil {
		return 0, fmt.Errorf("reading the list of free pages: %w", err)
	}
	if n := binary.LittleEndian.Uint16(b[10:]); n != 0xFFFF {
		return uint64(n), nil
	}
	return binary.LittleEndian.Uint64(b[pageHead:]), nil
}

func (t *treeCheck) freelist() error {
	if t.meta.freelist == noFreelist {
		return nil
	}
	b, flags, count, err := t.page(t.meta.freelist)
	if err != nil {
		return err
	}
	if flags != flagFreelist {
		return fmt.Errorf("page %d is not the list of free pages", t.meta.freelist)
	}
	ids, n := b[pageHead:], uint64(count)
	if count == 0xFFFF {
		ids, n = ids[8:], binary.LittleEndian.Uint64(ids)
	}
	if n > uint64(len(ids)/8) {
		return fmt.Errorf("the list of free pages claims %d entries", n)
	}
	for i := range n {
		id := binary.LittleEndian.Uint64(ids[8*i:])
		if id < 2 || id >= t.meta.pages || t.seen[id] {
			return fmt.Errorf("the list of free pages names page %d", id)
		}
		t.seen[id] = true
	}
	return nil
}

// bucket walks one bucket; a small one stands inline after its head instead of on pages.
func (t *treeCheck) bucket(root uint64, inline []byte) error {
	if root != 0 {
		return t.walk(root, nil, nil)
	}
	if len(inline) < pageHead {
		return errors.New("a bucket is cut short")
	}
	le := binary.LittleEndian
	if flags := int(le.Uint16(inline[8:])); flags != flagLeaf {
		return fmt.Errorf("a bucket holds a page of type %d", flags)
	}
	return t.leaf(inline, int(le.Uint16(inline[10:])), nil, nil)
}

// walk checks the pages below one page, whose keys are at least low and, unless high is nil, less than high.
func (t *treeCheck) walk(id uint64, low, high []byte) error {
	b, flags, count, err := t.page(id)
	if err != nil {
		return err
	}
	switch flags {
	case flagLeaf:
		err = t.leaf(b, count, low, high)
	case flagBranch:
		err = t.branch(b, count, low, high)
	default:
		err = fmt.Errorf("it has type %d", flags)
	}
	if err != nil {
		return fmt.Errorf("page %d: %w", id, err)
	}
	return nil
}

func (t *treeCheck) branch(b []byte, count int, low, high []byte) error {
	if count == 0 {
		return errors.New("it leads nowhere")
	}
	keys, children := make([][]byte, count), make([]uint64, count)
	for i := range count {
		at := pageHead + i*elementSize
		if at+elementSize > len(b) {
			return errors.New("it is cut short")
		}
		le := binary.LittleEndian
		key, err := part(b, uint64(at)+uint64(le.Uint32(b[at:])), uint64(le.Uint32(b[at+4:])))
		if err != nil {
			return err
		}
		if low, err = inOrder(key, low, high, i > 0); err != nil {
			return err
		}
		keys[i], children[i] = key, le.Uint64(b[at+8:])
	}
	for i, child := range children {
		end := high
		if i+1 < count {
			end = keys[i+1]
		}
		if err := t.walk(child, keys[i], end); err != nil {
			return err
		}
	}
	return nil
}

func (t *treeCheck) leaf(b []byte, count int, low, high []byte) error {
	for i := range count {
		at := pageHead + i*elementSize
		if at+elementSize > len(b) {
			return errors.New("it is cut short")
		}
		le := binary.LittleEndian
		flags, start := le.Uint32(b[at:]), uint64(at)+uint64(le.Uint32(b[at+4:]))
		keySize, valueSize := uint64(le.Uint32(b[at+8:])), uint64(le.Uint32(b[at+12:]))
		key, err := part(b, start, keySize)
		if err != nil {
			return err
		}
		value, err := part(b, start+keySize, valueSize)
		if err != nil {
			return err
		}
		if low, err = inOrder(key, low, high, i > 0); err != nil {
			return err
		}
		if flags&leafBucket == 0 {
			continue
		}
		if len(value) < bucketHead {
			return errors.New("a bucket is cut short")
		}
		if err := t.bucket(le.Uint64(value), value[bucketHead:]); err != nil {
			return err
		}
	}
	return nil
}

func part(b []byte, start, size uint64) ([]byte, error) {
	if start > uint64(len(b)) || size > uint64(len(b))-start {
		return nil, errors.New("an entry reaches beyond its page")
	}
	return b[start : start+size], nil
}

// inOrder checks that a key stands after low (or at it, for the first of a page) and before high, and returns it.
func inOrder(key, low, high []byte, after bool) ([]byte, error) {
	c := bytes.Compare(key, low)
	if c < 0 || c == 0 && after || high != nil && bytes.Compare(key, high) >= 0 {
		return nil, fmt.Errorf("the key %x is out of order", key)
	}
	return key, nil
}
