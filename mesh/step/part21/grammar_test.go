package part21

import (
	"encoding/hex"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// around makes a file of a data section's content.
func around(data string) string {
	return "ISO-10303-21;HEADER;FILE_DESCRIPTION(('a part'),'2;1');" +
		"FILE_NAME('n','2026-01-01T00:00:00',('who'),('where'),'pre','sys','auth');" +
		"FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 2 1 1}'));ENDSEC;DATA;" + data + "ENDSEC;END-ISO-10303-21;"
}

func parse(t *testing.T, text string, keywords ...string) *File {
	t.Helper()
	f, err := Parse([]byte(text), Limits{Keywords: keywords})
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return f
}

// value is the one parameter of a made instance.
func value(t *testing.T, written string) Value {
	t.Helper()
	f := parse(t, around("#1=A("+written+");"))
	v, err := f.At(0).Only().Param(0)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Source: an open grammar of Part 21 (colomon/perl6-ISO_10303-21, Grammar.pm): reals need a point,
// a binary starts with 0 to 3. Unset and derived: ISO 10303-21:2016, clause 6.2.
func TestKinds(t *testing.T) {
	for written, want := range map[string]Kind{
		"$": KindUnset, "*": KindDerived,
		"1": KindInteger, "+17": KindInteger, "-3": KindInteger,
		"1.": KindReal, "-0.5": KindReal, "1.E5": KindReal, "2.5E-3": KindReal, "+1.E+05": KindReal,
		"''": KindString, "'a,b)'": KindString,
		".T.": KindEnumeration, ".PARABOLIC_ARC.": KindEnumeration, ".B2.": KindEnumeration,
		`"0"`: KindBinary, `"23B"`: KindBinary, `"092A"`: KindBinary,
		"#7": KindReference, "#18446744073709551615": KindReference,
		"()": KindList, "(1,(2,3))": KindList, "( )": KindList,
		"LENGTH_MEASURE(2.5)": KindTyped, "!OWN( 'x' )": KindTyped,
		"@12": KindExternal, "#PI": KindExternal, "@PI": KindExternal,
		// More widely than the standard.
		"1E5": KindReal, ".5": KindReal, "-.5E1": KindReal, ".t.": KindEnumeration,
	} {
		v := value(t, written)
		if got := v.Kind(); got != want {
			t.Errorf("%s is of kind %d, want %d", written, got, want)
		}
		if v.Text() != written {
			t.Errorf("%s reads as %s", written, v.Text())
		}
	}
	for _, written := range []string{"", "1.2.3", "1-2", "E5", "1.E", "+", "-", ".", "..", ".A", ".A B.", "'", "'a''",
		`"`, `"4"`, `"12G"`, `""`, `"1"`, "#", "#1A", "@", "(", "(1,)", "(,1)", "1 2", "A", "A()B", "!", "!1(2)", "%",
		"/* no end", "/", `\`, `\X\`, "\x80"} {
		data := around("#1=A(" + written + ");")
		if written == "" {
			data = around("#1=A(" + written + ";")
		}
		if _, err := Parse([]byte(data), Limits{}); err == nil {
			t.Errorf("%q should not be a parameter", written)
		}
	}
}

func TestNumbers(t *testing.T) {
	for written, want := range map[string]float64{
		"0.": 0, "1": 1, "-2.5": -2.5, "1.E3": 1000, "+4.E-1": 0.4, "0.1": 0.1,
		"3.14159265358979323846": math.Pi, "1.7976931348623157E308": math.MaxFloat64,
		"4.9406564584124654E-324": math.SmallestNonzeroFloat64, "1.E-400": 0,
		"9007199254740993.": 9007199254740992, "123456789012345678901234567890.": 123456789012345678901234567890,
		"0000000000000000000000000001.5": 1.5, "1.E22": 1e22, "1.E23": 1e23, "LENGTH_MEASURE(2.5)": 2.5,
		"POSITIVE_LENGTH_MEASURE(LENGTH_MEASURE(3))": 3, ".5": .5, "1E2": 100,
	} {
		if got, err := value(t, written).Real(); err != nil || got != want {
			t.Errorf("%s reads as %v, %v; want %v", written, got, err, want)
		}
		f := parse(t, around("#1=A("+written+");"))
		c := f.At(0).Only().Params()
		if got := c.Real(); got != want || c.Done() != nil {
			t.Errorf("%s reads as %v, %v through a cursor; want %v", written, got, c.Err(), want)
		}
	}
	if x, _ := value(t, "-0.").Real(); !math.Signbit(x) {
		t.Error("-0. lost its sign")
	}
	for _, written := range []string{"1.E400", "-1.E999999999999999999999"} {
		if _, err := value(t, written).Real(); err == nil {
			t.Errorf("%s should be too large", written)
		}
	}
	for written, want := range map[string]int{"42": 42, "-7": -7, "+7": 7, "9223372036854775807": math.MaxInt64, "COUNT_MEASURE(3)": 3} {
		if got, err := value(t, written).Int(); err != nil || got != want {
			t.Errorf("%s reads as %v, %v; want %v", written, got, err, want)
		}
	}
	for _, written := range []string{"9223372036854775808", "1.", "'1'"} {
		if _, err := value(t, written).Int(); err == nil {
			t.Errorf("%s should not be a whole number of 64 bits", written)
		}
	}
}

func TestStrings(t *testing.T) {
	for written, want := range map[string]string{
		`''`: "", `'plain'`: "plain", `'it''s'`: "it's", `'a\\b'`: `a\b`, `''''`: "'",
		// Source: buildingSMART technical site, string encoding (after ISO 10303-21): four ways to
		// write one letter.
		`'\S\D'`: "Ä", `'\PA\\S\D'`: "Ä", `'\X\C4'`: "Ä", `'\X2\00C4\X0\'`: "Ä",
		// Source: the STEP sample of the KDE syntax highlighting (kate-editor.org).
		`'STB-W\X2\00E4\X0\nde'`: "STB-Wände",
		// \X4\ takes 8 digits: open grammar as above.
		`'\X4\0001F527\X0\'`: "🔧", `'\X4\000000C40000263A\X0\!'`: "Ä☺!",
		`'\X2\D83DDD27\X0\'`: "🔧", `'\X2\03B103B2\X0\'`: "αβ", `'\PB\\S\1'`: "ą", `'\PE\\S\0'`: "А", `'\PG\\S\a'`: "α",
		// One character of each page that no other page has there: ISO 8859-2 to -9, code charts of ECMA-94, -113, -114, -118, -121 and -128.
		`'\PB\\S\#'`: "Ł", `'\PC\\S\!'`: "Ħ", `'\PD\\S\"'`: "ĸ", `'\PE\\S\p'`: "№", `'\PF\\S\A'`: "ء",
		`'\PH\\S\a'`: "ב", `'\PI\\S\P'`: "Ğ", `'\PF\\S\!'`: "\uFFFD",
		// Print directives say nothing, within strings too: ISO 10303-21:2016, table 6.
		`'a\N\b\F\c'`: "abc",
		// Octets outside the alphabet are passed over: ISO 10303-21:2016, 5.2.
		"'two\r\n lines'": "two lines", "'Ä in UTF-8'": "Ä in UTF-8", "'\xC4 in Latin 1'": "Ä in Latin 1",
		// No directive at all.
		`'C:\Users\n'`: `C:\Users\n`, `'\'`: `\`, `'\X'`: `\X`, `'\X2\00C4'`: `\X2\00C4`, `'\PZ\'`: `\PZ\`, `'\X2\D83D\X0\'`: "\uFFFD",
		`'\S\'''`: "§", `LABEL('x')`: "x",
	} {
		if got, err := value(t, written).String(); err != nil || got != want {
			t.Errorf("%s reads as %q, %v; want %q", written, got, err, want)
		}
	}
}

// Values from memory of the examples of ISO 10303-21, 6.4.6.
func TestBinaries(t *testing.T) {
	for _, c := range []struct {
		written string
		bits    int
		bytes   string
	}{
		{`"0"`, 0, ""}, {`"30"`, 1, "00"}, {`"31"`, 1, "80"}, {`"23B"`, 6, "ec"}, {`"092A"`, 12, "92a0"},
	} {
		bits, b, err := value(t, c.written).Binary()
		if err != nil || bits != c.bits || hex.EncodeToString(b) != c.bytes {
			t.Errorf("%s reads as %d bits %x, %v; want %d bits %s", c.written, bits, b, err, c.bits, c.bytes)
		}
	}
}

func TestHeader(t *testing.T) {
	f := parse(t, around(""))
	want := Header{
		Description: []string{"a part"}, ImplementationLevel: "2;1", Name: "n", TimeStamp: "2026-01-01T00:00:00",
		Author: []string{"who"}, Organization: []string{"where"}, Preprocessor: "pre", OriginatingSystem: "sys",
		// The schema's name as in the AP214 sample header of kate-editor.org.
		Authorization: "auth", Schemas: []string{"AUTOMOTIVE_DESIGN { 1 0 10303 214 2 1 1}"},
	}
	if diff := cmp.Diff(want, f.Header()); diff != "" {
		t.Error(diff)
	}
	odd := parse(t, "ISO-10303-21;HEADER;FILE_NAME(1,$,'who',());FILE_SCHEMA('S');X();ENDSEC;DATA;ENDSEC;END-ISO-10303-21;").Header()
	if diff := cmp.Diff(Header{Author: []string{"who"}, Schemas: []string{"S"}}, odd); diff != "" {
		t.Error(diff)
	}
}

// Blanks, comments and print directives may stand between any two tokens; they change nothing.
// Comments in the manner of ISO 10303-21, annex H, as the ruststep documentation quotes it.
func TestBetweenTokens(t *testing.T) {
	tokens := []string{"ISO-10303-21", ";", "HEADER", ";", "FILE_SCHEMA", "(", "(", "'S'", ")", ")", ";", "ENDSEC", ";",
		"DATA", ";", "#10", "=", "A", "(", "1.5", ",", "#20", ",", "T", "(", ".E.", ")", ",", "(", "*", ",", "$", ")", ")", ";",
		"#20", "=", "(", "B", "(", ")", "C", "(", "'x'", ")", ")", ";", "ENDSEC", ";", "END-ISO-10303-21", ";"}
	var want string
	for k, between := range []string{"", " ", "\n", "\r\n", "\t", "/* a ; 'comment */", "/**/", "/***//* x */", `\N\`, ` \F\ `, "\x00", "\x01\n"} {
		text := between + strings.Join(tokens, between) + between
		for _, mark := range []string{"", "\xEF\xBB\xBF"} {
			f := parse(t, mark+text)
			got := render(f)
			if k == 0 && mark == "" {
				want = got
			}
			if got != want {
				t.Errorf("with %q between: %s, want %s", between, got, want)
			}
			if err := f.Check(); err != nil {
				t.Error(err)
			}
		}
	}
	if want != "A(1.5,#20,T(.E.),(*,$))\n[B() C('x')]\n" {
		t.Error(want)
	}
	// Comments do not nest (from memory): the first end is the end.
	if _, err := Parse([]byte(around("/* /* */ */#1=A();")), Limits{}); err == nil {
		t.Error("comments nest")
	}
}

// Source: ISO 10303-21:2016, the example of units, for the form of a complex instance.
func TestComplex(t *testing.T) {
	f := parse(t, around("#1=(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.));#2=SI_UNIT($,.RADIAN.);#3=(LENGTH_UNIT()LENGTH_UNIT());"),
		"SI_UNIT", "LENGTH_UNIT", "MISSING")
	one, _ := f.Lookup(1)
	if !one.Complex() || one.Type() != NoType || !one.Is(1) || !one.Is(2) || one.Is(3) || one.Only().Type() != NoType {
		t.Error("the complex instance is not recognised")
	}
	p := one.Record(1).Params()
	if a, b := p.Enum(), p.Enum(); a != "MILLI" || b != "METRE" || p.Done() != nil {
		t.Error(a, b, p.Err())
	}
	var all []uint64
	for _, k := range []Type{1, 2, 3, 99} {
		n := 0
		for i := range f.Of(k) {
			all = append(all, i.Name())
			n++
		}
		if n != f.Count(k) {
			t.Errorf("%d of type %d, counted %d", n, k, f.Count(k))
		}
	}
	if diff := cmp.Diff([]uint64{1, 2, 1, 3}, all); diff != "" {
		t.Error(diff)
	}
	if got := one.Describe(); got != "#1 (LENGTH_UNIT NAMED_UNIT SI_UNIT)" {
		t.Error(got)
	}
}

func TestNames(t *testing.T) {
	f := parse(t, around("#4294967296=A(#18446744073709551615);#18446744073709551615=B(#0004294967296);#7=C(#7);"))
	if err := f.Check(); err != nil {
		t.Error(err)
	}
	for _, n := range []uint64{4294967296, 18446744073709551615, 7} {
		if i, ok := f.Lookup(n); !ok || i.Name() != n {
			t.Errorf("#%d is not found", n)
		}
	}
	for _, n := range []uint64{0, 8, 4294967295} {
		if _, ok := f.Lookup(n); ok {
			t.Errorf("#%d is found", n)
		}
	}
}

func TestSections(t *testing.T) {
	f := parse(t, `ISO-10303-21; HEADER; FILE_SCHEMA(('X')); ENDSEC;
ANCHOR; <a;b>=#1{tag:'ENDSEC;'}; <c>=$; ENDSEC;
REFERENCE; #100=<gear.stp#axis>; @5 = < other.step > ; #101=<#local>; ENDSEC;
DATA('first',('X')); #1=A(#2,#100); ENDSEC;
DATA; #2=B(@5); ENDSEC;
END-ISO-10303-21;
SIGNATURE MIIB/zCC/*QWxsIGZy ENDSEC; anything`)
	want := []Reference{{"#100", "gear.stp#axis", "gear.stp"}, {"@5", "other.step", "other.step"}, {"#101", "#local", ""}}
	if diff := cmp.Diff(want, f.References()); diff != "" {
		t.Error(diff)
	}
	if f.Len() != 2 {
		t.Error(f.Len())
	}
	inside := strings.Replace(around("#1=A();"), "END-ISO", "SIGNATURE aGk= ENDSEC;END-ISO", 1)
	if f := parse(t, inside); f.Len() != 1 {
		t.Error(f.Len())
	}
}

func TestVocabulary(t *testing.T) {
	f := parse(t, around("#1=circle();#2=NEW();#3=!OWN(LATER(1));#4=CIRCLE();"), "LINE", "CIRCLE")
	for keyword, want := range map[string]Type{"LINE": 1, "CIRCLE": 2, "circle": 2, "NONE": NoType} {
		if got := f.Type(keyword); got != want {
			t.Errorf("%s is type %d, want %d", keyword, got, want)
		}
	}
	if f.Count(2) != 2 || f.Count(1) != 0 || f.Keyword(f.Type("!OWN")) != "!OWN" || f.Keyword(999) != "" {
		t.Error("types are not as asked for")
	}
	typed, inner, err := f.At(2).Only().mustParam(t, 0).Typed()
	if err != nil || f.Keyword(typed) != "LATER" || inner.Kind() != KindInteger {
		t.Error(typed, inner, err)
	}
}

func (r Record) mustParam(t *testing.T, i int) Value {
	t.Helper()
	v, err := r.Param(i)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
