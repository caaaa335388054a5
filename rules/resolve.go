package rules

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"pocketgauge/rules/fits"
	"pocketgauge/rules/nearest"
	"pocketgauge/rules/quantity"
)

// resolve works out what follows from the limits as read - the pieces of outlines, the clearance
// that a fit means - and reports limits that contradict one another. It looks only at what was
// read: a refused value is reported once, where it stands.
func (f *Frame) resolve(d *decoder) {
	f.resolvePocket(d)
	f.resolveZones(d)
	f.resolveBores(d)
	f.resolveBlank(d)
	f.resolveSteel(d)
	f.resolveEjection(d)
	f.resolveDraw(d)
	f.resolveCutters(d)
	f.resolvePress(d)
	f.resolveResins(d)
	f.resolveRules(d)
}

func decimal(v float64) string {
	text, _ := quantity.Format(quantity.Length, v)
	return text
}

func mm(v float64) string { return shown(quantity.Length, v) }

// buildOutline reports what is wrong with an outline and tells whether it has pieces.
func buildOutline(d *decoder, o *Outline, path string) bool {
	if !o.Set() {
		return false
	}
	err := o.build()
	var at *outlineError
	if errors.As(err, &at) {
		d.report.at(at.at, path, at.says, at.hint)
	}
	return err == nil && len(o.segments) > 0
}

func (f *Frame) resolvePocket(d *decoder) {
	p := &f.Pocket
	built := buildOutline(d, &p.Outline, "pocket.outline")
	if p.DepthMM.Set {
		if !p.FitHeightMM.Set && !d.stated["pocket.fit_height"] {
			p.FitHeightMM = Limit{Set: true, Value: p.DepthMM.Value, Origin: Origin{Why: "the pocket's depth"}}
		}
		if p.FitHeightMM.Value > p.DepthMM.Value {
			d.report.at(p.FitHeightMM.Origin, "pocket.fit_height", fmt.Sprintf("%s is more than the pocket's depth, %s", mm(p.FitHeightMM.Value), mm(p.DepthMM.Value)), "")
		}
		if least := p.ProudMM.Least; least.Set && -least.Value >= p.DepthMM.Value {
			d.report.at(least.Origin, "pocket.proud.least", fmt.Sprintf("%s below the parting face is more than the pocket's depth, %s", mm(-least.Value), mm(p.DepthMM.Value)), "")
		}
	}
	f.resolveLocating(d, built)
	clearance := p.StatedClearanceMM
	switch {
	case !p.Fit.Set && !clearance.Set():
		if !d.partial && p.Outline.Set() && !d.stated["pocket.fit"] && !d.stated["pocket.clearance"] {
			d.report.at(d.groupOrTop("pocket"), "", "pocket.fit is missing", "write an ISO 286 fit such as H7/g6, or  clearance: {least: ..., most: ...}  per side")
		}
	case clearance.Set():
		for i := range p.Outline.segments {
			s := &p.Outline.segments[i]
			s.ClearanceMM = r1.Interval{Lo: math.Inf(-1), Hi: math.Inf(1)}
			if clearance.Least.Set {
				s.ClearanceMM.Lo = clearance.Least.Value
			}
			if clearance.Most.Set {
				s.ClearanceMM.Hi = clearance.Most.Value
			}
			s.PlayMM = s.ClearanceMM
		}
		p.ClearanceMM, p.PlayMM = clearance, clearance
	case built:
		f.resolveFit(d)
	}
}

func (d *decoder) groupOrTop(path string) Origin {
	if o, found := d.groups[path]; found {
		return o
	}
	return d.top
}

// resolveLocating marks the sides that place the insert.
func (f *Frame) resolveLocating(d *decoder, built bool) {
	p := &f.Pocket
	if !built {
		return
	}
	var names []string
	for _, s := range p.Outline.segments {
		if !contains(names, s.Name) && !isCorner(s.Name) {
			names = append(names, s.Name)
		}
	}
	if !p.Locating.Set {
		if d.stated["pocket.locating"] {
			return
		}
		p.Locating = Words{Set: true, Values: names, Origin: Origin{Why: "all sides locate unless the file names some"}}
	}
	for _, w := range p.Locating.Values {
		if contains(names, w) {
			continue
		}
		hint := "it has " + enumerated(names)
		if near, ok := nearest.Word(w, names); ok {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		d.report.at(p.Locating.Origin, "pocket.locating", fmt.Sprintf("the outline has no side %q", clean(w)), hint)
	}
	for i := range p.Outline.segments {
		p.Outline.segments[i].Locating = contains(p.Locating.Values, p.Outline.segments[i].Name)
	}
}

func enumerated(names []string) string {
	const shownNames = 12
	out := ""
	for i, n := range names {
		if i == shownNames {
			return out + ", ..."
		}
		if i > 0 {
			out += ", "
		}
		out += n
	}
	return out
}

func isCorner(name string) bool { return len(name) >= 6 && name[:6] == "corner" }

// resolveFit turns a fit into gaps per side. A size has two sides, so a gap is half the difference
// in size: for the insert alone -es/2 to -ei/2 of its class, for both half of the fit's clearance.
// A rectangle's corner belongs to both sizes: it must keep the least of the two, and may stand off as
// far as the most.
func (f *Frame) resolveFit(d *decoder) {
	p := &f.Pocket
	fit, err := fits.ParseFit(p.Fit.Value)
	if err != nil {
		return // refused where it was read
	}
	gaps := func(size float64) (gap, play r1.Interval, ok bool) {
		lower, upper, err := fits.Limits(fit.Shaft, size)
		if err == nil {
			var least, most float64
			least, most, err = fits.Clearance(fit, size)
			play = r1.Interval{Lo: least / 2000, Hi: most / 2000}
		}
		if err != nil {
			d.report.at(p.Fit.Origin, "pocket.fit", err.Error(), "or write  clearance: {least: ..., most: ...}  per side in its place")
			return gap, play, false
		}
		return r1.Interval{Lo: negated(upper) / 2000, Hi: negated(lower) / 2000}, play, true
	}
	sizes := map[string]float64{}
	o := &p.Outline
	switch {
	case p.FitSizeMM.Set:
		for _, s := range o.segments {
			sizes[s.Name] = p.FitSizeMM.Value
		}
	case o.Rectangle != nil:
		sizes["left"], sizes["right"] = o.Rectangle.WidthMM.Value, o.Rectangle.WidthMM.Value
		sizes["front"], sizes["back"] = o.Rectangle.LengthMM.Value, o.Rectangle.LengthMM.Value
	case o.Circle != nil:
		for _, s := range o.segments {
			sizes[s.Name] = o.Circle.DiameterMM.Value
		}
	default:
		d.report.at(p.Fit.Origin, "pocket.fit", "a polygon has no one size to look a fit up at", "add fit_size, or write  clearance: {least: ..., most: ...}  in its place")
		return
	}
	var ofAll, playOfAll = r1.EmptyInterval(), r1.EmptyInterval()
	known := map[float64][2]r1.Interval{}
	for _, name := range slices.Sorted(maps.Keys(sizes)) {
		size := sizes[name]
		if _, found := known[size]; found {
			continue
		}
		gap, play, ok := gaps(size)
		if !ok {
			return
		}
		known[size] = [2]r1.Interval{gap, play}
		ofAll, playOfAll = ofAll.Union(gap), playOfAll.Union(play)
	}
	for i := range o.segments {
		s := &o.segments[i]
		s.ClearanceMM, s.PlayMM = ofAll, playOfAll
		if size, found := sizes[s.Name]; found {
			s.ClearanceMM, s.PlayMM = known[size][0], known[size][1]
		}
	}
	at := func(v float64) Limit { return Limit{Set: true, Value: v, Origin: p.Fit.Origin} }
	p.ClearanceMM = Range{at(ofAll.Lo), at(ofAll.Hi)}
	p.PlayMM = Range{at(playOfAll.Lo), at(playOfAll.Hi)}
}

// negated is -v without a negative zero, which would print as "-0".
func negated(v float64) float64 { return 0 - v }

// space is the room an insert may fill, as a block: outline by seat to proud, or by the blank's
// height where that is more.
func (f *Frame) space() (r2.Rect, r1.Interval, bool) {
	if len(f.Pocket.Outline.segments) == 0 || !f.Pocket.DepthMM.Set {
		return r2.Rect{}, r1.Interval{}, false
	}
	top := f.Pocket.DepthMM.Value + math.Max(0, f.Pocket.ProudMM.Most.Value)
	if h := f.Blank.HeightMM; h.Set {
		top = math.Max(top, h.Value)
	}
	return f.Pocket.Outline.Bounds(), r1.Interval{Lo: 0, Hi: top}, true
}

func (f *Frame) resolveZones(d *decoder) {
	for i := range f.Zones {
		z := &f.Zones[i]
		if !z.Name.Set {
			continue // reported where it was read
		}
		path := fmt.Sprintf("zones[%s].shape", z.Name.Value)
		plan, height, ok := z.Shape.resolve(d, path)
		room, upTo, known := f.space()
		if !ok || !known {
			continue
		}
		outside := ""
		switch {
		case height.Hi <= upTo.Lo:
			outside = "below the seat"
		case height.Lo >= upTo.Hi:
			outside = "above the insert"
		case !plan.InteriorIntersects(room) || f.beyondCircle(plan):
			outside = "beside the pocket"
		}
		if outside != "" {
			d.report.at(z.Shape.Origin, path, fmt.Sprintf("this zone lies wholly %s", outside), fmt.Sprintf("the insert fills x %s to %s, y %s to %s, z 0 to %s mm",
				decimal(room.X.Lo), decimal(room.X.Hi), decimal(room.Y.Lo), decimal(room.Y.Hi), decimal(upTo.Hi)))
		}
	}
	for i := range f.Zones {
		for j := range f.Zones[:i] {
			a, b := &f.Zones[i], &f.Zones[j]
			if a.Shape.Box == nil || b.Shape.Box == nil || a.Must == b.Must || a.Must != Open && b.Must != Open || a.Must == "" || b.Must == "" {
				continue
			}
			if a.Half != b.Half && a.Half != Both && b.Half != Both {
				continue
			}
			if overlap(a.Shape.Box, b.Shape.Box) {
				later, earlier := a, b
				d.report.at(later.Shape.Origin, fmt.Sprintf("zones[%s]", later.Name.Value), fmt.Sprintf("must be %s, but shares room with zone %q, which must be %s", later.Must, clean(earlier.Name.Value), earlier.Must),
					"that zone stands at "+earlier.Origin.String())
			}
		}
	}
}

func (f *Frame) beyondCircle(plan r2.Rect) bool {
	c := f.Pocket.Outline.Circle
	return c != nil && plan.ClampPoint(r2.Point{}).Norm() >= c.DiameterMM.Value/2
}

func overlap(a, b *Box) bool {
	deep := func(al, ah, bl, bh float64) bool { return math.Min(ah, bh)-math.Max(al, bl) > sameMM }
	p, q, r, s := a.Min.At, a.Max.At, b.Min.At, b.Max.At
	return deep(p.X, q.X, r.X, s.X) && deep(p.Y, q.Y, r.Y, s.Y) && deep(p.Z, q.Z, r.Z, s.Z)
}

// resolve works a shape out and gives the block around it.
func (s *Shape) resolve(d *decoder, path string) (plan r2.Rect, height r1.Interval, ok bool) {
	switch {
	case s.Box != nil:
		b := s.Box
		switch {
		case b.Center.Set && b.Size.Set:
			half := b.Size.At.Mul(0.5)
			b.Min = Place3{At: b.Center.At.Sub(half), Origin: b.Center.Origin}
			b.Max = Place3{At: b.Center.At.Add(half), Origin: b.Size.Origin}
		case b.Min.Set && b.Max.Set:
			size := b.Max.At.Sub(b.Min.At)
			if size.X <= 0 || size.Y <= 0 || size.Z <= 0 {
				axis := "x"
				if size.X > 0 && size.Y <= 0 {
					axis = "y"
				} else if size.X > 0 {
					axis = "z"
				}
				d.report.at(b.Max.Origin, path+".box.max", fmt.Sprintf("the block has no extent along %s", axis), "each number of max must be more than the one of min")
				return
			}
			b.Center = Place3{At: b.Min.At.Add(b.Max.At).Mul(0.5), Origin: b.Min.Origin}
			b.Size = Place3{At: size, Origin: b.Max.Origin}
		default:
			at := path + ".box"
			if !d.stated[at+".min"] && !d.stated[at+".max"] || !d.stated[at+".center"] && !d.stated[at+".size"] {
				missing := "min and max"
				for _, pair := range [][2]string{{"min", "max"}, {"max", "min"}, {"center", "size"}, {"size", "center"}} {
					if d.stated[at+"."+pair[0]] {
						missing = pair[1]
					}
				}
				if missing == "min and max" || !d.stated[at+"."+missing] {
					verb := " is missing"
					if missing == "min and max" {
						verb = " are missing"
					}
					d.report.at(d.groupOrTop(at), at, missing+verb, "a block is min and max, or center and size")
				}
			}
			return
		}
		return r2.Rect{X: r1.Interval{Lo: b.Min.At.X, Hi: b.Max.At.X}, Y: r1.Interval{Lo: b.Min.At.Y, Hi: b.Max.At.Y}}, r1.Interval{Lo: b.Min.At.Z, Hi: b.Max.At.Z}, true
	case s.Cylinder != nil:
		c := s.Cylinder
		if !c.From.Set || !c.To.Set || !c.DiameterMM.Set {
			return
		}
		axis := c.To.At.Sub(c.From.At)
		if axis.Norm() < sameMM {
			d.report.at(c.To.Origin, path+".cylinder.to", "the bar ends where it starts", "")
			return
		}
		// Along a coordinate the disc of radius r reaches r sqrt(1 - u^2), u the axis' component.
		u := axis.Normalize()
		r := c.DiameterMM.Value / 2
		reach := func(a, b, u float64) r1.Interval {
			return r1.IntervalFromPoint(a).AddPoint(b).Expanded(r * math.Sqrt(math.Max(0, 1-u*u)))
		}
		return r2.Rect{X: reach(c.From.At.X, c.To.At.X, u.X), Y: reach(c.From.At.Y, c.To.At.Y, u.Y)}, reach(c.From.At.Z, c.To.At.Z, u.Z), true
	case s.Extrusion != nil:
		e := s.Extrusion
		if !buildOutline(d, &e.Outline, path+".extrusion.outline") || !e.BottomMM.Set || !e.TopMM.Set {
			return
		}
		if e.TopMM.Value <= e.BottomMM.Value {
			d.report.at(e.TopMM.Origin, path+".extrusion.top", fmt.Sprintf("top, %s, is not above bottom, %s", mm(e.TopMM.Value), mm(e.BottomMM.Value)), "")
			return
		}
		e.placed = make([]Segment, len(e.Outline.segments))
		plan = r2.EmptyRect()
		for i, g := range e.Outline.segments {
			g.Start, g.End, g.Center = g.Start.Add(e.At.At), g.End.Add(e.At.At), g.Center.Add(e.At.At)
			e.placed[i] = g
			plan = plan.Union(g.bounds())
		}
		return plan, r1.Interval{Lo: e.BottomMM.Value, Hi: e.TopMM.Value}, true
	}
	return
}

// outsideSpace tells whether a place lies outside the room of the insert.
func (f *Frame) outsideSpace(at r3.Vector) bool {
	room, upTo, known := f.space()
	return known && !(room.ExpandedByMargin(sameMM).ContainsPoint(r2.Point{X: at.X, Y: at.Y}) && upTo.Expanded(sameMM).Contains(at.Z))
}

func (f *Frame) resolveBores(d *decoder) {
	for i := range f.Bores {
		b := &f.Bores[i]
		path := fmt.Sprintf("bores[%s].at", b.Name.Value)
		if b.At.Set && f.outsideSpace(b.At.At) {
			d.report.at(b.At.Origin, path, "the mouth of this hole lies outside the insert", "")
		}
	}
	for i := range f.Cooling.Ports {
		p := &f.Cooling.Ports[i]
		if p.At.Set && f.outsideSpace(p.At.At) {
			d.report.at(p.At.Origin, fmt.Sprintf("cooling.ports[%s].at", p.Name.Value), "this port lies outside the insert", "")
		}
	}
}

func (f *Frame) resolveBlank(d *decoder) {
	b, p := &f.Blank, &f.Pocket
	if p.Outline.Polygon != nil && b.SideStockMM.Value > 0 {
		d.report.at(b.SideStockMM.Origin, "blank.side_stock", "a blank of polygon outline cannot have side stock", "give the blank a model of its own")
	}
	if !b.HeightMM.Set || !p.DepthMM.Set {
		return
	}
	needed := p.DepthMM.Value + p.ProudMM.Least.Value + b.SeatStockMM.Value
	if b.HeightMM.Value < needed-sameMM {
		d.report.at(b.HeightMM.Origin, "blank.height", fmt.Sprintf("a blank of %s is too low for an insert of at least %s and seat stock of %s",
			mm(b.HeightMM.Value), mm(p.DepthMM.Value+p.ProudMM.Least.Value), mm(b.SeatStockMM.Value)), "the insert is the pocket's depth and what it must stand proud")
	}
}

func (f *Frame) resolveSteel(d *decoder) {
	g := f.Steel.Grade
	if !g.Set || f.SteelGrade(g.Value) != nil || d.partial {
		return
	}
	names := make([]string, len(f.Steels))
	for i := range f.Steels {
		names[i] = f.Steels[i].Grade.Value
	}
	hint := "list it under steels"
	if near, ok := nearest.Word(g.Value, names); ok {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	d.report.at(g.Origin, "steel.grade", fmt.Sprintf("nothing is known of grade %q", clean(g.Value)), hint)
}

func (f *Frame) resolveEjection(d *decoder) {
	e := &f.Ejection
	if buildOutline(d, &e.Outline, "ejection.outline") && len(f.Pocket.Outline.segments) > 0 {
		if !f.Pocket.Outline.Bounds().ExpandedByMargin(sameMM).Contains(e.Outline.Bounds()) {
			d.report.at(e.Outline.Origin, "ejection.outline", "pins could stand outside the pocket", "the ejectors' outline must lie inside the pocket's")
		}
	}
	if e.StrokeMM.Set && e.StrokeSpareMM.Value >= e.StrokeMM.Value {
		o := e.StrokeSpareMM.Origin
		if o.IsDefault() {
			o = e.StrokeMM.Origin
		}
		d.report.at(o, "ejection.stroke", fmt.Sprintf("a stroke of %s leaves nothing after %s to spare", mm(e.StrokeMM.Value), mm(e.StrokeSpareMM.Value)), "")
	}
}

func (f *Frame) resolveDraw(d *decoder) {
	if w := f.Draw.Direction; w.Set && w.At.Z <= 0 {
		d.report.at(w.Origin, "draw.direction", "the part cannot leave the insert this way: it points into the pocket or along the parting face", "up out of the pocket is [0, 0, 1]")
	}
}

func (f *Frame) resolveCutters(d *decoder) {
	m := &f.Making
	smallest := math.Inf(1)
	for i := range m.Cutters {
		c := &m.Cutters[i]
		if !c.DiameterMM.Set || c.Kind == "" {
			continue
		}
		smallest = math.Min(smallest, c.DiameterMM.Value)
		path := fmt.Sprintf("making.cutters[%s].corner_radius", c.Name.Value)
		r, half := c.CornerRadiusMM, c.DiameterMM.Value/2
		switch {
		case c.Kind == Flat && r.Set && r.Value > 0:
			d.report.at(r.Origin, path, "a flat cutter has no corner radius", "kind: bull  has one")
		case c.Kind == Ball && r.Set && math.Abs(r.Value-half) > sameMM:
			d.report.at(r.Origin, path, fmt.Sprintf("the radius of a ball cutter is half its diameter, %s", mm(half)), "leave it out")
		case c.Kind == Bull && !r.Set && !d.stated[path]:
			d.report.at(c.Origin, path, "a bull cutter has a corner radius", "add  corner_radius: ...")
		case c.Kind == Bull && r.Set && (r.Value == 0 || r.Value >= half):
			d.report.at(r.Origin, path, fmt.Sprintf("the corner radius of a bull cutter lies between 0 and half its diameter, %s", mm(half)), "")
		}
		if c.Kind == Ball && !r.Set {
			c.CornerRadiusMM = Limit{Set: true, Value: half, Origin: c.DiameterMM.Origin}
		}
	}
	if s := m.SmallestCutterMM; s.Set && !s.Origin.IsDefault() && s.Value < smallest-sameMM && len(m.Cutters) > 0 && !math.IsInf(smallest, 1) {
		d.report.at(s.Origin, "making.smallest_cutter", fmt.Sprintf("no cutter as small as %s is listed; the smallest is %s", mm(s.Value), mm(smallest)), "list the cutter or plan with a larger one")
	}
}

func (f *Frame) resolvePress(d *decoder) {
	p := &f.Press
	if h := p.FrameHeightMM; h.Set {
		if l := p.ShutHeightMM.Least; l.Set && h.Value < l.Value {
			d.report.at(h.Origin, "press.frame_height", fmt.Sprintf("a frame of %s is lower than the press closes, %s", mm(h.Value), mm(l.Value)), "the least shut height stands at "+l.Origin.String())
		}
		if m := p.ShutHeightMM.Most; m.Set && h.Value > m.Value {
			d.report.at(h.Origin, "press.frame_height", fmt.Sprintf("a frame of %s is higher than the press takes, %s", mm(h.Value), mm(m.Value)), "the most shut height stands at "+m.Origin.String())
		}
		if l := p.DaylightMM; l.Set && h.Value >= l.Value {
			d.report.at(l.Origin, "press.daylight", fmt.Sprintf("daylight of %s does not open a frame of %s", mm(l.Value), mm(h.Value)), "")
		}
	}
}

func (f *Frame) resolveResins(d *decoder) {
	for i := range f.Resins {
		r := &f.Resins[i]
		path := fmt.Sprintf("resins[%s].", r.Name.Value)
		if e, m := r.EjectTemperatureC, r.MouldTemperatureC; e.Set && m.Set && e.Value <= m.Value {
			d.report.at(e.Origin, path+"eject_temperature", fmt.Sprintf("a part cannot cool to %s degC on a wall of %s degC", plainDecimal(e.Value), plainDecimal(m.Value)), "")
		}
		if e, m := r.EjectTemperatureC, r.MeltTemperatureC; e.Set && m.Set && e.Value >= m.Value {
			d.report.at(e.Origin, path+"eject_temperature", fmt.Sprintf("%s degC is no cooler than the melt, %s degC", plainDecimal(e.Value), plainDecimal(m.Value)), "")
		}
	}
}

func plainDecimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (f *Frame) resolveRules(d *decoder) {
	for i := range f.Rules {
		r := &f.Rules[i]
		seen := map[string]Origin{}
		for _, c := range r.Cases {
			if at, twice := seen[c.Name.Value]; twice && c.Name.Set {
				d.report.at(c.Name.Origin, fmt.Sprintf("rules[%s].cases", r.ID.Value), fmt.Sprintf("%q is the name of another case", clean(c.Name.Value)), "that one stands at "+at.String())
			}
			seen[c.Name.Value] = c.Name.Origin
			if r.When.Set || !c.Want.Set || c.Want.Value != "skip" {
				continue
			}
			d.report.at(c.Want.Origin, fmt.Sprintf("rules[%s].cases", r.ID.Value), "a rule without \"when\" is never skipped", "")
		}
	}
}

// UnknownChecks are problems for the ids under judge that are not among the known ones; nil when
// all are. The caller knows which checks exist; this package does not.
func (f *Frame) UnknownChecks(known []string) error {
	report := &reporter{sources: f.sources}
	for _, j := range f.Judge {
		if contains(known, j.Check) {
			continue
		}
		hint := ""
		if near, ok := nearest.Word(j.Check, known); ok {
			hint = fmt.Sprintf("did you mean %q?", near)
		}
		report.at(j.Origin, "judge", fmt.Sprintf("there is no check %q", clean(j.Check)), hint)
	}
	return report.problems()
}

// RuleMistake is something wrong with one of the shop's own rules, found by who evaluates it.
type RuleMistake struct {
	// Origin is the word it concerns, Key its key within the rule; Column, where it is not 0, counts
	// characters from the start of that word.
	Origin     Origin
	Key        string
	Column     int
	Says, Hint string
}

// CheckRules reports what find says of each of the shop's own rules, as an error that shows lines
// and places as every other mistake of the file.
func (f *Frame) CheckRules(find func(*CustomRule) []RuleMistake) error {
	report := &reporter{sources: f.sources}
	for i := range f.Rules {
		for _, m := range find(&f.Rules[i]) {
			o := m.Origin
			if m.Column > 1 && report.widthAt(o) > m.Column {
				// The text stands on one line, as it was written: the place within it is known.
				o.Column += m.Column - 1
			}
			report.at(o, fmt.Sprintf("rules[%d].%s", i, m.Key), m.Says, m.Hint)
		}
	}
	return report.problems()
}

// SeverityOf is what a broken limit of a check amounts to: fail unless the file says otherwise.
func (f *Frame) SeverityOf(check string) Severity {
	for _, j := range f.Judge {
		if j.Check == check {
			return j.Severity
		}
	}
	return SeverityFail
}
