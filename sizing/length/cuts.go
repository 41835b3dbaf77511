package length

// Cuts adds up lengths to cut as [Style.Cut] writes them, in either system by itself:
// each cut is rounded up for the tape, so in inches the same cuts may take more than in
// metric, and whoever buys the sum has enough for what is printed. The zero sum is of no
// cuts.
type Cuts struct {
	Style Style
	sum   marks
}

// Add adds so many cuts of one length.
func (c *Cuts) Add(l Length, count int) {
	cut := c.Style.cutMarks(l)
	c.sum.metric += cut.metric * Length(count)
	c.sum.imperial += cut.imperial * Length(count)
}

// Total writes the sum, which is never less than that of the cuts as printed.
func (c Cuts) Total() string {
	return c.Style.write(marks{c.sum.metric.RoundUp(metricStep(c.sum.metric, c.Style.Decimals)), c.sum.imperial})
}

// Left writes what is left of a stock, as [Style.Format] writes that, when the cuts have
// been taken; nothing, where they take all of it.
func (c Cuts) Left(of Length) string {
	stock := marks{of.RoundHalfEven(metricStep(of, c.Style.Decimals)), of.RoundHalfEven(Inch / Length(c.Style.denominator()))}
	left := marks{max(stock.metric-c.sum.metric, 0), max(stock.imperial-c.sum.imperial, 0)}
	left.metric -= left.metric % metricStep(left.metric, c.Style.Decimals)
	return c.Style.write(left)
}
