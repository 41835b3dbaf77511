package paint

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// revise appends a revision to a PDF (ISO 32000-1, 7.5.6, incremental updates) that
// says what the writer has no words for: that a viewer shall print at full size
// (12.2, ViewerPreferences, PrintScaling None) and show the title; and what the
// marked passages of its pages are, with the text that stands for each figure (14.7,
// logical structure). It leaves out the dates, since the same sheet gives the same
// bytes whenever it is printed.
func revise(doc []byte, read [][]passage) ([]byte, error) {
	trailer := regexp.MustCompile(`trailer\n<<\n/Size (\d+)\n/Root (\d+) 0 R\n/Info (\d+) 0 R\n>>\nstartxref\n(\d+)\n`).FindSubmatch(doc)
	if trailer == nil {
		return nil, fmt.Errorf("the PDF ends in no trailer that is known")
	}
	var numbers [4]int
	for i := range numbers {
		var err error
		if numbers[i], err = strconv.Atoi(string(trailer[i+1])); err != nil {
			return nil, err
		}
	}
	size, root, info := numbers[0], numbers[1], numbers[2]
	r := revision{doc: doc, bodies: map[int][]byte{}, next: size}
	structure, err := r.structure(read)
	if err != nil {
		return nil, err
	}
	catalog, err := object(doc, root)
	if err != nil {
		return nil, err
	}
	facts, err := object(doc, info)
	if err != nil {
		return nil, err
	}
	said := fmt.Sprintf("/Type /Catalog\n/Version /1.7\n/ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>>\n/MarkInfo <</Marked true>>\n/StructTreeRoot %d 0 R", structure)
	r.bodies[root] = bytes.Replace(catalog, []byte("/Type /Catalog"), []byte(said), 1)
	r.bodies[info] = regexp.MustCompile(`/(CreationDate|ModDate) \([^)]*\)\n`).ReplaceAll(facts, nil)
	return r.write(root, info, numbers[3]), nil
}

// revision is the objects that a revision of a PDF changes or adds.
type revision struct {
	doc    []byte
	bodies map[int][]byte
	next   int // the number of the next object
}

// add adds an object and returns its number.
func (r *revision) add(format string, args ...any) int {
	r.bodies[r.next] = fmt.Appendf([]byte("\n"), format+"\n", args...)
	r.next++
	return r.next - 1
}

// structure adds what is read on the pages, and returns the number of its root.
func (r *revision) structure(read [][]passage) (root int, err error) {
	tree, err := object(r.doc, 1) // where the writer has the tree of pages
	if err != nil {
		return 0, err
	}
	kids := regexp.MustCompile(`(\d+) 0 R`).FindAllSubmatch(tree, -1)
	if len(kids) != len(read) {
		return 0, fmt.Errorf("the PDF has %d pages instead of %d", len(kids), len(read))
	}
	root = r.add("")
	whole := r.add("")
	var all, parents strings.Builder
	for i, passages := range read {
		page, err := strconv.Atoi(string(kids[i][1]))
		if err != nil {
			return 0, err
		}
		body, err := object(r.doc, page)
		if err != nil {
			return 0, err
		}
		r.bodies[page] = bytes.Replace(body, []byte("<</Type /Page\n"), fmt.Appendf(nil, "<</Type /Page\n/StructParents %d\n", i), 1)
		fmt.Fprintf(&parents, "%d [", i)
		for mark, p := range passages {
			alt := ""
			if p.alt != "" {
				alt = " /Alt " + pdfText(p.alt)
			}
			n := r.add("<</Type /StructElem /S /%s /P %d 0 R /Pg %d 0 R /K %d%s>>", p.role, whole, page, mark, alt)
			fmt.Fprintf(&all, "%d 0 R ", n)
			fmt.Fprintf(&parents, "%d 0 R ", n)
		}
		parents.WriteString("] ")
	}
	r.bodies[root] = fmt.Appendf(nil, "\n<</Type /StructTreeRoot /K %d 0 R /ParentTree <</Nums [%s]>> /ParentTreeNextKey %d>>\n", whole, parents.String(), len(read))
	r.bodies[whole] = fmt.Appendf(nil, "\n<</Type /StructElem /S /Document /P %d 0 R /K [%s]>>\n", root, all.String())
	return root, nil
}

// pdfText is a text as a PDF writes it: UTF-16 with its mark, in hexadecimal digits.
func pdfText(text string) string {
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, unit := range utf16.Encode([]rune(text)) {
		fmt.Fprintf(&b, "%04X", unit)
	}
	return b.String() + ">"
}

// write is the document with the revision after it.
func (r *revision) write(root, info, before int) []byte {
	var out bytes.Buffer
	out.Write(r.doc)
	where := map[int]int{}
	var objects []int
	for n := range r.bodies {
		objects = append(objects, n)
	}
	slices.Sort(objects)
	for _, n := range objects {
		where[n] = out.Len()
		fmt.Fprintf(&out, "%d 0 obj%sendobj\n", n, r.bodies[n])
	}
	at := out.Len()
	out.WriteString("xref\n")
	for _, n := range objects {
		fmt.Fprintf(&out, "%d 1\n%010d 00000 n \n", n, where[n])
	}
	fmt.Fprintf(&out, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n/Prev %d\n>>\nstartxref\n%d\n%%%%EOF\n", r.next, root, info, before, at)
	return out.Bytes()
}

// object is what stands between "N 0 obj" and "endobj".
func object(doc []byte, number int) ([]byte, error) {
	start := fmt.Sprintf("\n%d 0 obj", number)
	i := bytes.LastIndex(doc, []byte(start))
	if i < 0 {
		return nil, fmt.Errorf("the PDF has no object %d", number)
	}
	body := doc[i+len(start):]
	end := bytes.Index(body, []byte("endobj"))
	if end < 0 {
		return nil, fmt.Errorf("object %d of the PDF does not end", number)
	}
	return bytes.Clone(body[:end]), nil
}
