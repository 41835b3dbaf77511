package picture

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
)

// revise appends a revision to a PDF (ISO 32000-1, 7.5.6, incremental updates) that
// says in its catalog what the writer has no words for: that a viewer shall print
// at full size (12.2, ViewerPreferences, PrintScaling None) and show the title; and
// that leaves out the dates, since the same plan gives the same bytes whenever it is
// printed.
func revise(doc []byte) ([]byte, error) {
	trailer := regexp.MustCompile(`trailer\n<<\n/Size (\d+)\n/Root (\d+) 0 R\n/Info (\d+) 0 R\n>>\nstartxref\n(\d+)\n`).FindSubmatch(doc)
	if trailer == nil {
		return nil, fmt.Errorf("the PDF ends in no trailer that is known")
	}
	size, root, info, before := string(trailer[1]), string(trailer[2]), string(trailer[3]), string(trailer[4])
	catalog, err := object(doc, root)
	if err != nil {
		return nil, err
	}
	facts, err := object(doc, info)
	if err != nil {
		return nil, err
	}
	catalog = bytes.Replace(catalog, []byte("/Type /Catalog"), []byte("/Type /Catalog\n/ViewerPreferences <</PrintScaling /None /DisplayDocTitle true>>"), 1)
	facts = regexp.MustCompile(`/(CreationDate|ModDate) \([^)]*\)\n`).ReplaceAll(facts, nil)
	var out bytes.Buffer
	out.Write(doc)
	where := map[string]int{}
	for _, o := range []struct {
		number string
		body   []byte
	}{{root, catalog}, {info, facts}} {
		where[o.number] = out.Len()
		fmt.Fprintf(&out, "%s 0 obj%sendobj\n", o.number, o.body)
	}
	at := out.Len()
	out.WriteString("xref\n")
	objects := []int{}
	for number := range where {
		n, err := strconv.Atoi(number)
		if err != nil {
			return nil, err
		}
		objects = append(objects, n)
	}
	slices.Sort(objects)
	for _, n := range objects {
		fmt.Fprintf(&out, "%d 1\n%010d 00000 n \n", n, where[strconv.Itoa(n)])
	}
	fmt.Fprintf(&out, "trailer\n<<\n/Size %s\n/Root %s 0 R\n/Info %s 0 R\n/Prev %s\n>>\nstartxref\n%d\n%%%%EOF\n", size, root, info, before, at)
	return out.Bytes(), nil
}

// object is what stands between "N 0 obj" and "endobj".
func object(doc []byte, number string) ([]byte, error) {
	start := bytes.LastIndex(doc, []byte("\n"+number+" 0 obj"))
	if start < 0 {
		return nil, fmt.Errorf("the PDF has no object %s", number)
	}
	body := doc[start+len("\n"+number+" 0 obj"):]
	end := bytes.Index(body, []byte("endobj"))
	if end < 0 {
		return nil, fmt.Errorf("object %s of the PDF does not end", number)
	}
	return bytes.Clone(body[:end]), nil
}
