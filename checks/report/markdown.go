package report

import (
	"fmt"
	"io"
	"strings"
)

// markdownBytes bounds the findings that are spelled out: a step summary may hold 1 MiB, and nobody
// reads a longer one.
const markdownBytes = 900_000

// WriteMarkdown writes a table of all inserts, gravest first, and the findings of those that do not
// simply pass (GitHub Flavored Markdown).
func WriteMarkdown(w io.Writer, r *Judged, gate Gate) error {
	var b strings.Builder
	rejected, partly := 0, 0
	for i := range r.Inserts {
		switch in := &r.Inserts[i]; {
		case in.Partly():
			partly++
		case gate.RejectsInsert(in):
			rejected++
		}
	}
	fmt.Fprintf(&b, "## %s: %d rejected, %d not wholly judged\n\n", count(len(r.Inserts), "insert"), rejected, partly)
	b.WriteString("| verdict | insert | model | frame | findings |\n| --- | --- | --- | --- | --- |\n")
	var details strings.Builder
	left := 0
	for _, verdict := range []string{VerdictFail, VerdictUnreadable, VerdictBorderline, VerdictWaived, VerdictPass} {
		for i := range r.Inserts {
			in := &r.Inserts[i]
			if in.Verdict != verdict {
				continue
			}
			var short []string
			for j := range in.Findings {
				if f := &in.Findings[j]; f.Verdict != VerdictPass {
					short = append(short, fmt.Sprintf("%s %s", f.Verdict, codeSpan(name(*f), true)))
				}
			}
			if b.Len() < markdownBytes/2 {
				fmt.Fprintf(&b, "| %s | %s | %s | %s, %s | %s |\n", strongVerdict(in.Verdict), markdown(in.Name), codeSpan(in.File, true), markdown(in.Frame), in.Half, strings.Join(short, "<br>"))
			} else {
				left++
			}
			if len(short) > 0 && details.Len() < markdownBytes/2 {
				markdownInsert(&details, in)
			}
		}
	}
	if left > 0 {
		fmt.Fprintf(&b, "\n%s more, not listed here.\n", count(left, "insert"))
	}
	b.WriteString(details.String())
	for i := range r.Waivers {
		v := &r.Waivers[i]
		if f := v.Finding(); f != nil {
			fmt.Fprintf(&b, "\n- **%s** %s at %s: %s %s\n", f.Verdict, codeSpan(f.Check, false), codeSpan(fmt.Sprintf("%s:%d", v.File, v.Line), false), markdown(f.Says), markdown(f.Mend))
		}
	}
	if len(r.Skipped) > 0 {
		fmt.Fprintf(&b, "\n- not judged, left out on request: %s\n", markdown(leftOut(r.Skipped)))
	}
	for _, u := range r.Unassigned {
		fmt.Fprintf(&b, "\n- not judged, no entry of the workspace names it: %s\n", codeSpan(u, false))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func markdownInsert(b *strings.Builder, in *Insert) {
	fmt.Fprintf(b, "\n### %s: %s\n\n%s\n\n", in.Verdict, markdown(in.Name), codeSpan(in.File, false))
	for j := range in.Findings {
		f := &in.Findings[j]
		if f.Verdict == VerdictPass {
			continue
		}
		fmt.Fprintf(b, "- **%s** %s  \n  %s", f.Verdict, markdown(f.Title()), markdown(f.Says))
		if f.AtMM != nil {
			fmt.Fprintf(b, " At %s mm.", markdown(Point(*f.AtMM)))
		}
		if f.Waiver != nil {
			fmt.Fprintf(b, "  \n  %s", markdown(f.Waiver.Sentence()))
		} else if f.Mend != "" {
			fmt.Fprintf(b, "  \n  *Mend:* %s", markdown(f.Mend))
		}
		b.WriteString("\n")
	}
}

func strongVerdict(v string) string {
	if v == VerdictPass {
		return v
	}
	return "**" + v + "**"
}

// markdown escapes text so that it is shown as it is: punctuation that Markdown or HTML act upon,
// and names and numbers that a forge would turn into links or calls to people. An empty comment
// between the mark and the word keeps a forge from seeing one word; it is not shown.
func markdown(s string) string {
	var b strings.Builder
	for _, r := range printable(s) {
		switch r {
		case '&':
			b.WriteString("&amp;")
		case '<':
			b.WriteString("&lt;")
		case '>':
			b.WriteString("&gt;")
		case '@', '#', '!':
			b.WriteRune(r)
			b.WriteString("<!-- -->")
		case '\\', '`', '*', '_', '[', ']', '|', '~', '$':
			b.WriteByte('\\')
			b.WriteRune(r)
		case ':':
			b.WriteString("&#58;") // keeps http:// from becoming a link
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// codeSpan is text in a code span, fenced by one more backtick than it holds in a row. In a table a
// stroke would end the cell even there.
func codeSpan(s string, inTable bool) string {
	s = oneLine(s)
	if inTable {
		s = strings.ReplaceAll(s, "|", `\|`)
	}
	longest, run := 0, 0
	for _, r := range s {
		if r == '`' {
			run++
			longest = max(longest, run)
		} else {
			run = 0
		}
	}
	fence := strings.Repeat("`", longest+1)
	if longest > 0 || s == "" {
		return fence + " " + s + " " + fence
	}
	return fence + s + fence
}
