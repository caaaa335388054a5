package report

import (
	"fmt"

	"pocketgauge/checks/quote"
)

// NewCostChart draws what insert and mould have cost after each batch of the part's life.
func NewCostChart(d *quote.Dedicated, currency string) Chart {
	c := Chart{Title: d.Insert.Name + ": " + d.Life.BreakEven.Words(), X: "batches", Y: "cost so far, " + currency,
		Series: []Series{{Name: "mould of its own", Line: true}, {Name: "insert with its share of the frame", Line: true}}}
	// Straight lines need two points; the crossing is where both are drawn true.
	for _, n := range []int{0, max(1, int(d.Life.Batches))} {
		insert, mould := d.Life.At(n)
		c.Series[0].Points = append(c.Series[0].Points, [2]float64{float64(n), mould.InexactFloat64()})
		c.Series[1].Points = append(c.Series[1].Points, [2]float64{float64(n), insert.InexactFloat64()})
	}
	return c
}

// NewFitChart draws hours as a fit from the other jobs predicts them against hours as booked.
func NewFitChart(c *quote.Calibration) Chart {
	chart := Chart{Title: "Hours of past jobs", X: "booked, h", Y: "predicted, h", Diagonal: true,
		Series: []Series{{Name: "at the rates as they were"}, {Name: "calibrated, each job left out in turn"}}}
	jobs := 0
	for _, f := range c.Operations {
		for i := range f.Actual {
			chart.Series[0].Points = append(chart.Series[0].Points, [2]float64{f.Actual[i], f.Before[i]})
			if f.Kept == "" {
				chart.Series[1].Points = append(chart.Series[1].Points, [2]float64{f.Actual[i], f.Left[i]})
			}
		}
		jobs = max(jobs, len(f.Actual))
	}
	chart.Title = fmt.Sprintf("Hours of %s, by operation", count(jobs, "past job"))
	return chart
}
