package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"pocketgauge/checks/takeoff"
)

// WriteTakenOffText prints one insert's stock for the estimator. The column of volumes is in thousandths
// of a cm3 that add up to the last line as they stand.
func WriteTakenOffText(w io.Writer, t TakenOff) error {
	var b strings.Builder
	title := t.File
	if t.Name != t.File && t.Name != "" {
		title = t.Name + "  " + t.File
	}
	fmt.Fprintf(&b, "%s\n", title)
	fmt.Fprintf(&b, "  %s half, frame %s, steel %s\n", t.Half, t.Frame, t.Steel)
	row := func(what string, v, m Figure) {
		fmt.Fprintf(&b, "  %-18s %16s cm3 %14s kg\n", what, cm3(v), WithError(m.Value, m.Uncertainty))
	}
	fmt.Fprintf(&b, "  %-18s %s x %s x %s mm\n", "blank", Decimal(t.BlankSizeMM[0], 2), Decimal(t.BlankSizeMM[1], 2), Decimal(t.BlankSizeMM[2], 2))
	row("blank", t.BlankMM3, t.BlankKG)
	row("insert", t.InsertMM3, t.InsertKG)
	row("stock to remove", t.RemoveMM3, t.RemoveKG)
	if t.OutsideMM3.Value > t.OutsideMM3.Uncertainty {
		fmt.Fprintf(&b, "  %-18s %16s cm3: the insert cannot be cut from this blank\n", "outside the blank", cm3(t.OutsideMM3))
	}
	writeHow(&b, &t)
	writeFinish(&b, &t)
	fmt.Fprintf(&b, "  %-18s %s\n", "volumes by", t.Method)
	fmt.Fprintf(&b, "  %-18s %s; counted on rays %s mm apart, and what the count missed the stock by, %s cm3, shared out\n", "cutters from", t.CuttersFrom, Decimal(t.PitchMM, 3), Decimal(t.RemainderMM3/1000, 3))
	fmt.Fprintf(&b, "  %-18s %s\n", "in holders", t.Holders)
	b.WriteString("\n")
	_, err := io.WriteString(w, b.String())
	return err
}

// part is a line of the table of how the stock goes.
type part struct {
	how, with string
	figure    Figure
}

func writeHow(b *strings.Builder, t *TakenOff) {
	parts := []part{{"faced", "", t.FacedMM3}}
	for _, u := range t.SetUps {
		for i, c := range u.Cuts {
			how := ""
			if i == 0 {
				how = u.Name
			}
			parts = append(parts, part{how, c.Cutter + ", " + milling(c.Rest), c.RemovedMM3})
		}
	}
	for i, h := range t.Drilled {
		how := ""
		if i == 0 {
			how = "drilled"
		}
		kind := "blind"
		if h.Through {
			kind = "through"
		}
		parts = append(parts, part{how, fmt.Sprintf("%d x D%s, %s deep, %s, %s", h.Count, Decimal(h.DiameterMM, 2), Decimal(h.DepthMM, 1), kind, h.Method), h.RemovedMM3})
	}
	parts = append(parts, part{"spark erosion", burnText(t), t.BurnMM3})
	parts = append(parts, leftParts(t)...)
	values := make([]float64, len(parts))
	for i, p := range parts {
		values[i] = p.figure.Value
	}
	const perCM3 = 1000
	counts, sum := takeoff.Allot(values, t.RemoveMM3.Value, 1) // mm3 are thousandths of cm3
	fmt.Fprintf(b, "\n  %-14s %-38s %10s %8s %7s\n", "how it goes", "", "cm3", "±", "share")
	line := func(how, with string, count int64, err float64, share string) {
		text := fmt.Sprintf("  %-14s %-38s %10.3f %8.3f %7s", how, with, float64(count)/perCM3, math.Ceil(err)/perCM3, share)
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
	for i, p := range parts {
		share := ""
		if sum > 0 {
			share = fmt.Sprintf("%.1f %%", 100*float64(counts[i])/float64(sum))
		}
		line(p.how, p.with, counts[i], p.figure.Uncertainty, share)
	}
	line("in all", "", sum, t.RemoveMM3.Uncertainty, "")
}

// burnText counts the electrodes, and the places by kind.
func burnText(t *TakenOff) string {
	if len(t.Electrodes) == 0 {
		return "nothing"
	}
	counts := map[string]int{}
	for _, b := range t.Burns {
		if b.Left == "" {
			counts[b.Kind]++
		}
	}
	var kinds []string
	for _, k := range []string{"corner", "slot", "deep", "undercut"} {
		if n := counts[k]; n > 0 {
			kinds = append(kinds, fmt.Sprintf("%d %s", n, k))
		}
	}
	return count(len(t.Electrodes), "electrode") + ": " + strings.Join(kinds, ", ")
}

// leftParts is what is left by why it is, and at last what is in no region.
func leftParts(t *TakenOff) []part {
	var parts []part
	var counts []int
	rest := t.LeftMM3
	for _, b := range t.Burns {
		if b.Left == "" {
			continue
		}
		i := slices.IndexFunc(parts, func(p part) bool { return p.with == b.Left })
		if i < 0 {
			i = len(parts)
			parts = append(parts, part{with: b.Left})
			counts = append(counts, 0)
		}
		counts[i]++
		parts[i].figure.Value += b.VolumeMM3.Value
		parts[i].figure.Uncertainty += b.VolumeMM3.Uncertainty
		rest.Value -= b.VolumeMM3.Value
		rest.Uncertainty -= b.VolumeMM3.Uncertainty
	}
	for i := range parts {
		parts[i].with = fmt.Sprintf("%d x %s", counts[i], parts[i].with)
	}
	rest.Value, rest.Uncertainty = max(rest.Value, 0), max(rest.Uncertainty, 0)
	parts = append(parts, part{"", "strips and chamfers", rest})
	parts[0].how = "stays"
	return parts
}

func writeFinish(b *strings.Builder, t *TakenOff) {
	fmt.Fprintf(b, "\n  %-14s %-38s %10s %8s   %s\n", "to finish", "", "cm2", "±", "cleared by")
	for _, a := range t.Finish {
		class := a.Class
		if class == "" {
			class = "no finish named"
		}
		text := fmt.Sprintf("  %-14s %-38s %10.2f %8.2f   %s", a.Kind, class, a.AreaMM2.Value/100, math.Ceil(a.AreaMM2.Uncertainty)/100, reachedText(a.Reached))
		b.WriteString(strings.TrimRight(text, " ") + "\n")
	}
	fmt.Fprintf(b, "  %-14s %-38s %10.2f %8.2f\n", "detail", "seen along the draw", t.ProjectedMM2.Value/100, math.Ceil(t.ProjectedMM2.Uncertainty)/100)
	fmt.Fprintf(b, "  %-14s %s mm\n\n", "edges to break", WithError(t.EdgeMM.Value, t.EdgeMM.Uncertainty))
}

// reachedText is which cutters clear a surface, as "D16 80 %, D3 20 %".
func reachedText(list []Reached) string {
	var parts []string
	for _, x := range list {
		name := "D" + Decimal(x.DiameterMM, 2)
		if x.DiameterMM == 0 {
			name = "no cutter"
		}
		parts = append(parts, fmt.Sprintf("%s %d %%", name, x.Percent))
	}
	return strings.Join(parts, ", ")
}

func cm3(f Figure) string { return WithError(f.Value/1000, f.Uncertainty/1000) }

// WriteTakeoffTotalText ends a batch: what all inserts that could be measured come to.
func WriteTakeoffTotalText(w io.Writer, all []TakenOff) error {
	var volume, mass Figure
	for _, t := range all {
		volume.Value += t.RemoveMM3.Value
		volume.Uncertainty += t.RemoveMM3.Uncertainty
		mass.Value += t.RemoveKG.Value
		mass.Uncertainty += t.RemoveKG.Uncertainty
	}
	_, err := fmt.Fprintf(w, "%s, stock to remove in all: %s cm3, %s kg\n", count(len(all), "insert"), cm3(volume), WithError(mass.Value, mass.Uncertainty))
	return err
}

// TakeoffInBrief is the split in one line, for a caption.
func TakeoffInBrief(t *TakenOff) string {
	holes, _ := t.drilled()
	share := func(f Figure) string { return Decimal(f.Value/1000, 1) }
	return fmt.Sprintf("%s cm3: faced %s, milled %s, drilled %s, %s", share(t.RemoveMM3), share(t.FacedMM3), share(t.milled()), share(holes), count(len(t.Electrodes), "electrode"))
}
