package part21

import (
	"strings"
	"testing"
)

// Messages as a designer sees them.
func TestErrors(t *testing.T) {
	const head = "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n"
	for _, c := range []struct{ text, want string }{
		{"", "line 1, column 1: not a STEP file: it does not begin with ISO-10303-21;"},
		{"solid cube", "line 1, column 1: not a STEP file: it does not begin with ISO-10303-21;"},
		{"ISO-10303-21", "line 1, column 13: the file ends where ; after ISO-10303-21 should follow: it is cut short"},
		{"ISO-10303-21;DATA;", `line 1, column 14: HEADER; should follow here, found 'D'`},
		{"ISO-10303-21;HEADER;FILE_NAME('a' 'b');", `line 1, column 35: FILE_NAME: , or ) should follow here, found '\''`},
		{head, "line 5, column 1: the file ends where an instance #n=... or ENDSEC; should follow: it is cut short"},
		{head + "#12=CIRCLE('',#1", "line 5, column 17: #12 CIRCLE: the file ends where , or ) should follow: it is cut short"},
		{head + "#12=CIRCLE('',#1,", "line 5, column 18: #12 CIRCLE: the file ends where a parameter should follow: it is cut short"},
		{head + "#12=CIRCLE('',#1)\nENDSEC;", `line 6, column 1: #12 CIRCLE: ; after the instance should follow here, found 'E'`},
		{head + "#12=CIRCLE('ä, #1);\n", "line 5, column 12: #12 CIRCLE: the string that begins here never ends"},
		{head + "#12=CIRCLE('ä' /* #1);\n", "line 5, column 16: #12 CIRCLE: the comment that begins here never ends"},
		{head + "#12=CIRCLE('ä',,1.);\n", `line 5, column 16: #12 CIRCLE: a parameter should follow here, found ','`},
		{head + "#18446744073709551616=A();", "line 5, column 1: the instance name is greater than 18446744073709551615, the greatest of 64 bits"},
		{head + "#1=A(#18446744073709551616);", "line 5, column 6: #1 A: the instance name is greater than 18446744073709551615, the greatest of 64 bits"},
		{head + "#1=A();\r\n#2=B();\r\n  #1 = C();\r\nENDSEC;END-ISO-10303-21;", "line 7, column 3: #1 C: an instance of this name is already defined in line 5"},
		{head + "#1=A();#900=B();#900=C();#1=D();ENDSEC;END-ISO-10303-21;", "line 5, column 17: #900 C: an instance of this name is already defined in line 5"},
		{head + "#1=(A()B(,));", `line 5, column 10: #1 B: a parameter should follow here, found ','`},
		{head + "#1=();", "line 5, column 5: #1: a complex instance needs at least one record"},
		{head + "#1=&SCOPE #2=A(); ENDSCOPE B();", "line 5, column 4: #1: a SCOPE structure of the first edition of ISO 10303-21, which is not read; export it in a later one"},
		{head + "#1=A(" + strings.Repeat("(", 64), "line 5, column 69: #1 A: parentheses nested more than 64 deep"},
		{head + "#1=" + strings.Repeat("A", 1025) + "();", "line 5, column 4: #1: a keyword of 1025 letters; at most 1024 are read"},
		{head + "#1=A(" + strings.Repeat("1", 1025) + ");", "line 5, column 6: #1 A: a number of 1025 characters; at most 1024 are read"},
		{head + "ENDSEC;\n", "line 6, column 1: the file ends where a section (DATA; ANCHOR; REFERENCE; SIGNATURE) or END-ISO-10303-21; should follow: it is cut short"},
		{head + "ENDSEC;REFERENCE;#1=<a.stp;ENDSEC;", "line 5, column 21: the address that begins here never ends with >"},
	} {
		_, err := Parse([]byte(c.text), Limits{})
		if err == nil {
			t.Errorf("no error for %.80q", c.text)
		} else if err.Error() != c.want {
			t.Errorf("%.80q:\n got %s\nwant %s", c.text, err, c.want)
		}
	}
	if _, err := Parse([]byte(around("#1=A();#2=B();")), Limits{Types: 4}); err == nil {
		t.Error("five keywords pass a limit of four")
	}
	if _, err := Parse([]byte(around("#1=A();#2=B();")), Limits{Types: 5}); err != nil {
		t.Error(err)
	}
	if _, err := Parse([]byte(around("")), Limits{Bytes: 10}); err == nil {
		t.Error("a long text passes")
	}
}

// Messages of reading parameters.
func TestUseErrors(t *testing.T) {
	text := strings.Replace(around(`
#12=CIRCLE('hole',#13,'3.5');
#13=AXIS2_PLACEMENT_3D('',#14,$,(1.,(2.,'x')));
#15=(A(1)B(.T.,LENGTH_MEASURE('m')));
#16=X(#100,#17,M(1,2));
`), "DATA;", "REFERENCE;#100=<gear.stp#axis>;ENDSEC;DATA;", 1)
	f := parse(t, text, "CIRCLE", "AXIS2_PLACEMENT_3D", "A", "B", "X")
	at := func(n uint64) Instance {
		i, _ := f.Lookup(n)
		return i
	}
	for _, c := range []struct {
		read func() error
		want string
	}{
		{func() error { p := at(12).Record(1).Params(); p.Skip(); p.Skip(); p.Real(); return p.Done() },
			"line 2, column 23: #12 CIRCLE: parameter 3 should be a real number, found a string"},
		{func() error { p := at(12).Record(1).Params(); p.Real(); p.Instance(); p.Skip(); return p.Done() },
			"line 2, column 12: #12 CIRCLE: parameter 1 should be a real number, found a string"},
		{func() error { p := at(12).Record(1).Params(); p.Skip(); p.Skip(); return p.Done() },
			"line 2, column 23: #12 CIRCLE: parameter 3 is one too many"},
		{func() error { _, err := at(12).Record(1).Param(3); return err },
			"line 2, column 28: #12 CIRCLE: parameter 4 is missing"},
		{func() error { _, err := at(12).Record(2).Param(0); return err },
			"line 2, column 1: #12 CIRCLE: should be a AXIS2_PLACEMENT_3D"},
		{func() error { p := at(13).Record(2).Params(); p.Skip(); p.Instance(); return p.Err() },
			"line 3, column 27: #13 AXIS2_PLACEMENT_3D: parameter 2 refers to #14, which the file does not define"},
		{func() error { p := at(13).Record(2).Params(); p.Skip(); p.Skip(); p.Instance(); return p.Err() },
			"line 3, column 31: #13 AXIS2_PLACEMENT_3D: parameter 3 should be a reference #n, found $ (not given)"},
		{func() error {
			p := at(13).Record(2).Params()
			p.Skip()
			p.Skip()
			p.Skip()
			p.Reals(nil)
			return p.Err()
		},
			"line 3, column 37: #13 AXIS2_PLACEMENT_3D: parameter 4, item 2 should be a real number, found a list"},
		{func() error {
			p := at(13).Record(2).Params()
			p.Skip()
			p.Skip()
			p.Skip()
			l := p.List()
			l.Skip()
			l.Reals(nil)
			p.Take(&l)
			return p.Done()
		}, "line 3, column 41: #13 AXIS2_PLACEMENT_3D: parameter 4, item 2, item 2 should be a real number, found a string"},
		{func() error { p := at(15).Record(4).Params(); p.Int(); return p.Err() },
			"line 4, column 12: #15 B: parameter 1 should be a whole number, found the enumeration .T."},
		{func() error { p := at(15).Record(4).Params(); p.Bool(); p.Real(); return p.Err() },
			"line 4, column 16: #15 B: parameter 2 should be a real number, found a typed parameter LENGTH_MEASURE('m')"},
		{func() error { p := at(15).Record(3).Params(); p.Bool(); return p.Err() },
			"line 4, column 8: #15 A: parameter 1 should be .T. or .F., found a whole number"},
		{func() error { p := at(15).Record(5).Params(); p.Bool(); return p.Err() },
			"line 4, column 1: #15 (A B): should have a record X"},
		{func() error { p := at(15).Only().Params(); p.Bool(); return p.Err() },
			"line 4, column 1: #15 (A B): should be one entity, not a complex instance"},
		{func() error { p := at(16).Record(5).Params(); p.Instance(); return p.Err() },
			"line 5, column 7: #16 X: parameter 1 refers to gear.stp#axis in another file, which is not read: export the parts into one file"},
		{func() error { _, _, err := at(16).Record(5).mustParam(t, 2).Typed(); return err },
			"line 5, column 16: #16 X: parameter 3 should hold one value in its parentheses"},
		{func() error { return f.Check() },
			"line 3, column 27: #13 AXIS2_PLACEMENT_3D: parameter 2 refers to #14, which the file does not define"},
		{func() error { p := (Instance{}).Record(1).Params(); p.Ref(); return p.Err() },
			"line 1, column 1: there is no instance to read"},
		{func() error { return at(15).Errorf("makes no sense") }, "line 4, column 1: #15 (A B): makes no sense"},
		{func() error { return at(15).Record(4).Errorf("is %d", 5) }, "line 4, column 12: #15 B: is 5"},
	} {
		err := c.read()
		if err == nil {
			t.Errorf("no error, want %s", c.want)
		} else if err.Error() != c.want {
			t.Errorf("\n got %s\nwant %s", err, c.want)
		}
	}
}

func TestPlace(t *testing.T) {
	const text = "ab\r\ncd\re\nf"
	for offset, want := range [][2]int{{1, 1}, {1, 2}, {1, 3}, {1, 4}, {2, 1}, {2, 2}, {2, 3}, {3, 1}, {3, 2}, {4, 1}, {4, 2}, {4, 2}} {
		if line, column := place([]byte(text), offset); line != want[0] || column != want[1] {
			t.Errorf("byte %d is line %d, column %d; want %v", offset, line, column, want)
		}
	}
}

// Every beginning of a valid file is cut short, and says so or where it stops making sense; none
// is taken for whole.
func TestCutShort(t *testing.T) {
	whole := around("#1=A('x''y',#2,(1.5,.T.),\"23B\",T(1));#2=(B()C($));")
	for n := range len(whole) {
		_, err := Parse([]byte(whole[:n]), Limits{})
		if err == nil {
			t.Fatalf("the first %d bytes of %d are taken for whole", n, len(whole))
		}
	}
	parse(t, whole)
}
