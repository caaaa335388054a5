package rules

import (
	"pocketgauge/rules/fits"
	"pocketgauge/rules/quantity"
)

type Pocket struct {
	Outline Outline
	DepthMM Limit

	// Fit is what was written, such as "H7/g6"; unset when the clearance was written instead.
	Fit       Text
	FitSizeMM Limit
	// StatedClearanceMM is the clearance per side as written; unset when a fit was written.
	StatedClearanceMM Range

	// ClearanceMM is the gap per side that a model must keep from the outline as drawn: least and
	// most over all sides. From a fit, it is the insert's own half of the fit (the class after the
	// stroke), for the outline is drawn at nominal size and the pocket's deviation is the frame
	// maker's to spend. Side by side it is in Segment.ClearanceMM. Least is negative when the fit
	// allows interference.
	ClearanceMM Range
	// PlayMM is the gap per side once both have been made: the whole fit, over all sides.
	PlayMM Range

	// ProudMM is how far the insert may stand above the parting face of the frame.
	ProudMM Range
	// SeatBearing is the share of the seat, 0 to 1, that must carry the insert.
	SeatBearing Limit
	// Locating names the sides of the outline that place the insert; they alone are judged for too
	// much clearance. Outline.Segments carries the same fact side by side.
	Locating Words
	// EdgeBreakMM is the chamfer or radius asked for at the edge that enters the pocket first.
	EdgeBreakMM Range
	// FitHeightMM is the part of the height, from the seat up, over which the sides must fit.
	FitHeightMM Limit
}

func (p *Pocket) keys() []key {
	return []key{
		outlineKey("outline", &p.Outline, `The pocket's edge seen from above, at nominal size, its centre at x = y = 0: a rectangle, a
			circle with flats, or a polygon of lines and arcs.`).required(),
		limit("depth", &p.DepthMM, quantity.Length, `From the seat up to the parting face of the frame.`).positive().required(),
		{name: "fit", rivals: []string{"clearance"}, form: textForm{into: &p.Fit, valid: validFit, wanted: `^[A-Z]{1,2}[0-9]{1,2} */ *[a-z]{1,2}[0-9]{1,2}$`, inform: "ISO 286 fit"},
			doc: `ISO 286 fit of the insert in the pocket, such as H7/g6, on the sizes of the outline. The class before the stroke is the
			pocket's and the frame maker's to keep; the class after it says what an insert must keep from the outline as drawn: g6 on
			160 mm is 0.014 to 0.039 mm smaller, a gap of 0.007 to 0.0195 mm per side. Sliding inserts are usually H7/g6 (common
			practice, no source).`},
		limit("fit_size", &p.FitSizeMM, quantity.Length, `Nominal size that the fit is looked up at. A rectangle takes its width and
			length and a circle its diameter; a polygon has no one size and needs this key.`).atLeast(1).atMost(500),
		ranged("clearance", &p.StatedClearanceMM, quantity.Length, `Gap per side that an insert must keep from the outline as drawn, in
			place of a fit. Negative is interference.`).anySign().insteadOf("fit"),
		ranged("proud", &p.ProudMM, quantity.Length, `How far the insert stands above the parting face of the frame, so that the press
			closes on the insert first. Negative is below.`).anySign().
			ends("0 mm", "0.05 mm", "common practice, no source: flush to a few hundredths proud"),
		limit("seat_bearing", &p.SeatBearing, quantity.Share, `Share of the seat that must carry the insert; the rest may be cut away by
			bores and slots.`).atMost(1).orDefault("50 %", "common practice, no source"),
		words("locating", &p.Locating, `Sides of the outline that place the insert; they alone are judged for too much clearance.
			A rectangle has left, right, front, back (front is towards -y); a circle has round, flat 1, flat 2, ...; a polygon has
			side 1, side 2, ... When the key is left out, all sides but the corners locate.`),
		limit("fit_height", &p.FitHeightMM, quantity.Length, `Height above the seat up to which the sides must fit; above it they may
			be relieved. When the key is left out, it is the pocket's depth.`).positive(),
		ranged("edge_break", &p.EdgeBreakMM, quantity.Length, `Chamfer or radius of the edge that enters the pocket first. Without
			one, a corner that is a little proud scrapes the pocket and jams.`),
	}
}

func validFit(text string) error {
	_, err := fits.ParseFit(text)
	return err
}
