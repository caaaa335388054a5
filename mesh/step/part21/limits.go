package part21

import "math"

// Limits are what a file is held to, and the vocabulary it is read with. The zero value is
// ready for use: zero fields stand for the defaults below.
type Limits struct {
	// Keywords get the types 1, 2, 3 ... in this order, in every file. Capital letters.
	Keywords []string

	Bytes      int // longest text
	Depth      int // deepest nesting of parentheses in one instance
	NameLength int // longest keyword, enumeration or number, bytes
	Types      int // most different keywords
}

// Defaults of [Limits].
const (
	// DefaultBytes is also the most that can be set: places in the text are kept in 32 bits,
	// which halves the index. The largest part files met are a few hundred megabytes.
	DefaultBytes = math.MaxUint32 - 1

	// DefaultDepth: entity parameters nest lists three deep in AP242 (tessellated strips inside
	// a typed select). Anything past a few dozen is an attack.
	DefaultDepth = 64

	// DefaultNameLength: the longest entity name of the STEP schemas has under 100 letters, and
	// the longest exact decimal of a double has 767 digits.
	DefaultNameLength = 1024

	// DefaultTypes: AP242 declares about 2,000 entities. Each keyword costs a place in a table.
	DefaultTypes = 1 << 16
)

func (l Limits) withDefaults() Limits {
	if l.Bytes <= 0 || l.Bytes > DefaultBytes {
		l.Bytes = DefaultBytes
	}
	if l.Depth <= 0 {
		l.Depth = DefaultDepth
	}
	if l.NameLength <= 0 {
		l.NameLength = DefaultNameLength
	}
	if l.Types <= 0 {
		l.Types = DefaultTypes
	}
	return l
}
