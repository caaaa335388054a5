package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"pocketgauge/checks/revision"
	"pocketgauge/checks/takeoff"
)

// Revised is what an insert and its revision differ by, as programs read it.
type Revised struct {
	Tool string      `json:"tool"`
	Old  RevisedFile `json:"old"`
	New  RevisedFile `json:"new"`
	Name string      `json:"name"`
	// Placement is null where both lie alike.
	Placement *Placement `json:"placement"`
	FitShare  float64    `json:"fit_share"`
	NoiseMM   float64    `json:"noise_mm"`
	Advice    string     `json:"advice"`
	SteelSafe bool       `json:"steel_safe"`
	Because   string     `json:"because"`
	RemoveMM3 Figure     `json:"remove_mm3"`
	AddMM3    Figure     `json:"add_mm3"`
	SkinMM3   Figure     `json:"skin_mm3"`
	Removed   []Change   `json:"removed"`
	Added     []Change   `json:"added"`
	Verdicts  []Reversal `json:"verdicts"`
	// Takeoff is that of what is to be cut; null where there is nothing.
	Takeoff *TakenOff `json:"takeoff"`
	// Quote is what cutting it takes by the shop's rates; left out where none are known.
	Quote *QuotedChange `json:"quote,omitempty"`
}

// QuotedChange is the quote of a revision.
type QuotedChange struct {
	Rates    Source    `json:"rates"`
	Currency string    `json:"currency"`
	Job      QuotedJob `json:"job"`
}

// RevisedFile is one of the two models.
type RevisedFile struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"`
}

// Placement is the motion that carries the old insert onto the new one: the rotation's rows, then the
// move.
type Placement struct {
	Says     string        `json:"says"`
	Rotation [3][3]float64 `json:"rotation"`
	MoveMM   [3]float64    `json:"move_mm"`
	RMSMM    float64       `json:"rms_mm"`
}

// Change is a connected piece of metal to remove or to add.
type Change struct {
	VolumeMM3 Figure     `json:"volume_mm3"`
	DepthMM   float64    `json:"depth_mm"`
	AtMM      [3]float64 `json:"at_mm"`
	SizeMM    [3]float64 `json:"size_mm"`
}

// Reversal is a check whose verdict is another one.
type Reversal struct {
	Check string `json:"check"`
	Of    string `json:"of,omitempty"`
	Old   string `json:"old"`
	New   string `json:"new"`
}

// NewRevised puts a revision in the form of the report.
func NewRevised(tool string, r *revision.Revision) Revised {
	fig := func(f takeoff.Figure) Figure {
		return Figure{*rounded(f.Value, f.Error), *rounded(f.Error, f.Error)}
	}
	point := func(p r3.Vector) [3]float64 {
		return [3]float64{*rounded(p.X, placeError), *rounded(p.Y, placeError), *rounded(p.Z, placeError)}
	}
	changes := func(list []revision.Change) []Change {
		out := []Change{}
		for _, c := range list {
			out = append(out, Change{fig(c.VolumeMM3), *rounded(c.DepthMM, placeError), point(c.At), point(c.SizeMM)})
		}
		return out
	}
	const share = 0.001 // of some hundred points tried
	out := Revised{
		Tool: tool, Old: RevisedFile{r.Old.File, r.Old.SHA256}, New: RevisedFile{r.New.File, r.New.SHA256}, Name: r.New.Subject.Name,
		FitShare: *rounded(r.FitShare, share), NoiseMM: *rounded(r.NoiseMM, placeError),
		Advice: string(r.Advice), SteelSafe: len(r.Added) == 0, Because: r.Because(),
		RemoveMM3: fig(r.RemoveMM3), AddMM3: fig(r.AddMM3), SkinMM3: fig(r.SkinMM3),
		Removed: changes(r.Removed), Added: changes(r.Added), Verdicts: []Reversal{},
	}
	if r.Moved {
		p := &Placement{Says: r.Says, MoveMM: point(r.Motion.Point(r3.Vector{})), RMSMM: *rounded(r.FitRMSMM, placeError)}
		for i, row := range r.Motion.Rotation {
			const turned = 1.0 / (1 << 24) // a tenth of a micrometre over a metre
			p.Rotation[i] = [3]float64{*rounded(row.X, turned), *rounded(row.Y, turned), *rounded(row.Z, turned)}
		}
		out.Placement = p
	}
	for _, v := range r.Verdicts {
		out.Verdicts = append(out.Verdicts, Reversal{v.Check, v.Of, v.Old, v.New})
	}
	if r.Takeoff != nil {
		t := NewTakenOff(r.Takeoff)
		out.Takeoff = &t
	}
	return out
}

// mostListed is how many regions of a kind the text lists; all of them stand in the JSON.
const mostListed = 10

// WriteRevisedText prints a revision for the estimator.
func WriteRevisedText(w io.Writer, r Revised) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n  old  %s\n  new  %s\n\n", r.Name, r.Old.File, r.New.File)
	fmt.Fprintf(&b, "  %-12s %s. %s\n", "verdict", strings.ToUpper(r.Advice[:1])+r.Advice[1:], r.Because)
	if r.Placement == nil {
		fmt.Fprintf(&b, "  %-12s both lie alike, %s %% of the surface within %s mm\n", "placement", Decimal(100*r.FitShare, 1), Decimal(r.NoiseMM, 3))
	} else {
		fmt.Fprintf(&b, "  %-12s they lie apart. To lay old onto new: %s %s %% of the surface then lies within %s mm, %s mm rms\n", "placement",
			r.Placement.Says, Decimal(100*r.FitShare, 1), Decimal(r.NoiseMM, 3), Decimal(r.Placement.RMSMM, 4))
	}
	n := 0
	list := func(what string, sum Figure, changes []Change) {
		if len(changes) == 0 {
			fmt.Fprintf(&b, "  %-12s nothing\n", what)
			return
		}
		fmt.Fprintf(&b, "  %-12s %s cm3 in %s\n", what, cm3(sum), count(len(changes), "region"))
		for i, c := range changes {
			n++
			if i >= mostListed {
				continue
			}
			fmt.Fprintf(&b, "  %12d %s cm3, %s mm thick, %s x %s x %s mm, at %s\n", n, cm3(c.VolumeMM3), Decimal(c.DepthMM, 3),
				Decimal(c.SizeMM[0], 1), Decimal(c.SizeMM[1], 1), Decimal(c.SizeMM[2], 1), Point(c.AtMM))
		}
		if more := len(changes) - mostListed; more > 0 {
			fmt.Fprintf(&b, "  %12s and %d smaller ones\n", "", more)
		}
	}
	list("to add", r.AddMM3, r.Added)
	list("to remove", r.RemoveMM3, r.Removed)
	if r.SkinMM3.Value > r.SkinMM3.Uncertainty {
		fmt.Fprintf(&b, "  %-12s %s cm3 in skins under %s mm or pieces too small to be told from noise\n", "not counted", cm3(r.SkinMM3), Decimal(r.NoiseMM, 3))
	}
	if len(r.Verdicts) == 0 {
		fmt.Fprintf(&b, "  %-12s no verdict changes\n", "checks")
	}
	for i, v := range r.Verdicts {
		what := ""
		if i == 0 {
			what = "checks"
		}
		of := ""
		if v.Of != "" {
			of = " (" + v.Of + ")"
		}
		fmt.Fprintf(&b, "  %-12s %s%s: %s, was %s\n", what, v.Check, of, v.New, v.Old)
	}
	b.WriteString("\n")
	if t := r.Takeoff; t != nil {
		fmt.Fprintf(&b, "  What is to be cut, %s cm3, and the surface and edges that are new:\n", Decimal(math.Round(t.RemoveMM3.Value)/1000, 3))
		writeHow(&b, t)
		writeFinish(&b, t)
		fmt.Fprintf(&b, "  %-18s %s\n", "cutters from", t.CuttersFrom)
	}
	if q := r.Quote; q != nil {
		fmt.Fprintf(&b, "\n  What that takes by %s:\n\n", q.Rates.File)
		writeLines(&b, q.Job.Lines, q.Currency)
		writeTotals(&b, q.Job.Total, q.Currency)
		for _, n := range q.Job.Notes {
			writeWrapped(&b, 2, "Note: "+n)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}
