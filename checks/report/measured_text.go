package report

import (
	"fmt"
	"io"
	"strings"
)

// WriteMeasuredText prints a Measured or an Unreadable for people.
func WriteMeasuredText(w io.Writer, value any) error {
	var b strings.Builder
	switch m := value.(type) {
	case Unreadable:
		fmt.Fprintf(&b, "%s\n  cannot be read: %s%s\n", m.File, place(m.Error.At), m.Error.Message)
	case Measured:
		writeMeasured(&b, m)
	default:
		return fmt.Errorf("no text form for %T", value)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func place(at string) string {
	if at == "" {
		return ""
	}
	return at + ": "
}

func writeMeasured(b *strings.Builder, m Measured) {
	size := [3]float64{}
	for i := range size {
		size[i] = m.BoundsMM.Max[i] - m.BoundsMM.Min[i]
	}
	unit := "no unit stated, taken as mm"
	if m.Unit != nil {
		unit = "unit " + *m.Unit
	}
	fmt.Fprintf(b, "%s\n", m.File)
	fmt.Fprintf(b, "  format     %s, %s\n", m.Format, unit)
	fmt.Fprintf(b, "  bodies     %s in %s, %s%s\n", count(m.Solids, "solid"), count(m.Shells, "shell"), count(m.Triangles, "triangle"), facesText(m.Faces))
	fmt.Fprintf(b, "  size       %s x %s x %s mm\n", Decimal(size[0], 4), Decimal(size[1], 4), Decimal(size[2], 4))
	fmt.Fprintf(b, "  from       %s  to  %s\n", Point(m.BoundsMM.Min), Point(m.BoundsMM.Max))
	if m.Closed {
		fmt.Fprintf(b, "  volume     %s mm3\n", WithError(m.VolumeMM3, m.VolumeErrorMM3))
	} else {
		fmt.Fprintf(b, "  volume     none: the surface is not closed\n")
	}
	fmt.Fprintf(b, "  area       %s mm2\n", WithError(m.AreaMM2, m.AreaErrorMM2))
	if m.Closed {
		fmt.Fprintf(b, "  centroid   %s mm\n", Point(m.CentroidMM))
	}
	if m.ChordMM != nil {
		fmt.Fprintf(b, "  chord      %s mm between the faces and their mesh, at most\n", Decimal(*m.ChordMM, 4))
	}
	for _, fault := range faults(m) {
		fmt.Fprintf(b, "  fault      %s\n", fault)
	}
	if len(m.Parts) > 1 {
		for _, p := range m.Parts {
			kind := "solid"
			if !p.Solid {
				kind = "surface"
			}
			fmt.Fprintf(b, "  part       %s: %s, volume %s mm3\n", orNameless(p.Name), kind, WithError(p.VolumeMM3, p.VolumeErrorMM3))
		}
	}
	for _, n := range m.Notes {
		fmt.Fprintf(b, "  note       %s%s\n", place(n.Place), n.Says)
	}
}

func facesText(faces *int) string {
	if faces == nil {
		return ""
	}
	return ", " + count(*faces, "face")
}

func faults(m Measured) []string {
	var list []string
	add := func(n int, one, many string) {
		switch {
		case n == 1:
			list = append(list, "1 "+one)
		case n > 1:
			list = append(list, fmt.Sprintf("%d %s", n, many))
		}
	}
	add(m.OpenEdges, "open edge", "open edges")
	add(m.NonManifoldEdges, "edge of more than two facets", "edges of more than two facets")
	add(m.MisorientedEdges, "edge whose facets face opposite ways", "edges whose facets face opposite ways")
	add(m.InsideOutShells, "shell turned inside out (or a void)", "shells turned inside out (or voids)")
	add(m.Duplicates, "facet that stands twice", "facets that stand twice")
	return list
}

func orNameless(name string) string {
	if name == "" {
		return "(no name)"
	}
	return name
}

// count is "1 shell", "2 shells".
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
