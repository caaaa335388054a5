package rules

// Problem is one mistake in a rules or workspace file.
type Problem struct {
	File         string
	Line, Column int
	// Width is how many characters the caret underlines, at least 1.
	Width int
	// Key is the dotted path of the key that is wrong, "" when it is the whole file.
	Key string
	// Says is the mistake in words; Hint is how to mend it, "" when none is known.
	Says, Hint string
	// SourceLine is the offending line without its line break.
	SourceLine string
}

// Problems is an error that lists every mistake found, in file order and then line order.
type Problems struct {
	List []Problem
}

// Error is all problems as a terminal shows them, with source lines and carets.
func (p *Problems) Error() string { return "" }
