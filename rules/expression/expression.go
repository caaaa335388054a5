// Package expression evaluates the conditions of a shop's own rules over measured values.
//
// The language is CEL, the Common Expression Language (its specification is public, and cel-go is its
// library for Go), with its mathematical extension (math.abs, math.least, math.greatest, math.sqrt
// and others). All names are numbers. Whole numbers are taken as real ones, so that depth / 2 means
// what it says.
//
// A measured value is known to within a bound, and so is what is said of it. An expression is
// evaluated with every name it uses at both ends of its bound, in every combination, and in the
// middle: E1, where all agree that is the answer; E2, where they do not the answer is Unclear. For
// expressions that rise or fall with each of their names on its own, as sums, products and
// comparisons of lengths do, that is exact; an expression that turns within a bound, such as one with
// math.abs around zero, is only sampled.
//
// Errors from the text are *Mistake, with the column. Cost is bounded: the text in length, the
// evaluation in steps.
package expression

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/ext"

	"pocketgauge/rules/nearest"
)

const (
	// mostText bounds an expression: what a person can still read.
	mostText = 2000
	// mostSteps bounds one evaluation, in the library's own units of cost.
	mostSteps = 10000
	// mostNames bounds the combinations, 2^n evaluations.
	mostNames = 10
)

// Mistake is what is wrong with the text of an expression.
type Mistake struct {
	// Column counts characters from 1.
	Column     int
	Says, Hint string
}

func (m *Mistake) Error() string { return m.Says }

// Value is a measured number; the true one lies within Uncertainty of it.
type Value struct{ Value, Uncertainty float64 }

// Truth is what came of a condition.
type Truth uint8

// Unclear is said where the bounds of the values leave both answers open.
const (
	No Truth = iota
	Yes
	Unclear
)

func (t Truth) String() string { return [...]string{"no", "yes", "unclear"}[t] }

// Expression is a condition that has been read and found sound.
type Expression struct {
	program cel.Program
	// left and right are the two sides where the whole is a comparison of numbers by size.
	left, right cel.Program
	// above is set where the left side must be the greater.
	above bool
	uses  []string
}

// Uses are the names that stand in the expression, in order of the alphabet.
func (e *Expression) Uses() []string { return e.uses }

// Compile reads a condition over the names given.
func Compile(text string, names []string) (*Expression, error) {
	if len(text) > mostText {
		return nil, &Mistake{Column: 1, Says: fmt.Sprintf("this expression has %d characters", len(text)), Hint: fmt.Sprintf("at most %d; write two rules", mostText)}
	}
	env, err := environment(names)
	if err != nil {
		return nil, err
	}
	parsed, issues := env.Parse(text)
	if issues.Err() != nil {
		return nil, mistake(issues, names)
	}
	parsed, uses := asReals(parsed, names)
	checked, issues := env.Check(parsed)
	if issues.Err() != nil {
		return nil, mistake(issues, names)
	}
	if checked.OutputType() != cel.BoolType {
		return nil, &Mistake{Column: 1, Says: "this expression gives a number, not yes or no", Hint: "compare it with a limit"}
	}
	if len(uses) > mostNames {
		return nil, &Mistake{Column: 1, Says: fmt.Sprintf("this expression uses %d values", len(uses)), Hint: fmt.Sprintf("at most %d; write two rules", mostNames)}
	}
	e := &Expression{uses: uses}
	if e.program, err = env.Program(checked, cel.CostLimit(mostSteps)); err != nil {
		return nil, &Mistake{Column: 1, Says: err.Error()}
	}
	return e, e.splitSides(env, checked)
}

func environment(names []string) (*cel.Env, error) {
	options := []cel.EnvOption{ext.Math(), cel.ParserRecursionLimit(50)}
	for _, n := range names {
		options = append(options, cel.Variable(n, cel.DoubleType))
	}
	env, err := cel.NewEnv(options...)
	if err != nil {
		return nil, fmt.Errorf("preparing expressions: %w", err)
	}
	return env, nil
}

// asReals turns whole numbers into real ones and lists the names used.
func asReals(tree *cel.Ast, names []string) (*cel.Ast, []string) {
	known := map[string]bool{}
	for _, n := range names {
		known[n] = true
	}
	factory := ast.NewExprFactory()
	var uses []string
	ast.PostOrderVisit(tree.NativeRep().Expr(), ast.NewExprVisitor(func(e ast.Expr) {
		switch e.Kind() {
		case ast.LiteralKind:
			if whole, ok := e.AsLiteral().(types.Int); ok {
				e.SetKindCase(factory.NewLiteral(e.ID(), types.Double(whole)))
			}
		case ast.IdentKind:
			if n := e.AsIdent(); known[n] && !slices.Contains(uses, n) {
				uses = append(uses, n)
			}
		}
	}))
	slices.Sort(uses)
	return tree, uses
}

// splitSides keeps the two sides of a comparison by size, so that value and limit can be told.
func (e *Expression) splitSides(env *cel.Env, checked *cel.Ast) error {
	root := checked.NativeRep().Expr()
	if root.Kind() != ast.CallKind {
		return nil
	}
	call := root.AsCall()
	switch call.FunctionName() {
	case operators.Less, operators.LessEquals:
	case operators.Greater, operators.GreaterEquals:
		e.above = true
	default:
		return nil
	}
	side := func(i int) (cel.Program, error) {
		// The part is checked anew from its own text: a tree cut out of another has no types.
		text, err := cel.ExprToString(call.Args()[i], checked.NativeRep().SourceInfo())
		if err != nil {
			return nil, err
		}
		tree, issues := env.Parse(text)
		if issues.Err() != nil {
			return nil, issues.Err()
		}
		tree, _ = asReals(tree, nil)
		tree, issues = env.Check(tree)
		if issues.Err() != nil {
			return nil, issues.Err()
		}
		return env.Program(tree, cel.CostLimit(mostSteps))
	}
	left, err := side(0)
	if err != nil {
		return nil // the condition as a whole still holds or does not
	}
	right, err := side(1)
	if err != nil {
		return nil
	}
	e.left, e.right = left, right
	return nil
}

func mistake(issues *cel.Issues, names []string) error {
	first := issues.Errors()[0]
	m := &Mistake{Column: max(first.Location.Column()+1, 1), Says: firstLine(first.Message)}
	const undeclared = "undeclared reference to '"
	if i := strings.Index(m.Says, undeclared); i >= 0 {
		word, _, _ := strings.Cut(m.Says[i+len(undeclared):], "'")
		m.Says = fmt.Sprintf("nothing that is measured is called %q", word)
		if near, ok := nearest.Word(word, names); ok {
			m.Hint = fmt.Sprintf("did you mean %q?", near)
		}
	}
	return m
}

func firstLine(text string) string {
	line, _, _ := strings.Cut(text, "\n")
	return line
}

// Missing are the names that the expression uses and values lacks.
func (e *Expression) Missing(values map[string]Value) []string {
	var missing []string
	for _, n := range e.uses {
		if _, ok := values[n]; !ok {
			missing = append(missing, n)
		}
	}
	return missing
}

// Holds is what the condition comes to. It is an error when a value is missing or the arithmetic
// fails.
func (e *Expression) Holds(values map[string]Value) (Truth, error) {
	if missing := e.Missing(values); len(missing) > 0 {
		return Unclear, fmt.Errorf("no value of %s", strings.Join(missing, ", "))
	}
	truth, first := No, true
	err := e.corners(values, func(at map[string]any) error {
		out, _, err := e.program.Eval(at)
		if err != nil {
			return err
		}
		holds, ok := out.Value().(bool)
		if !ok {
			return errors.New("the expression gave no yes or no")
		}
		now := No
		if holds {
			now = Yes
		}
		if first {
			truth, first = now, false
		} else if now != truth {
			truth = Unclear
		}
		return nil
	})
	return truth, err
}

// Sides is the comparison as a value with its uncertainty and the limit it is held to; ok is false
// where the condition is no comparison of two numbers by size. The uncertainty is that of the
// difference of the sides: half the range it takes over the corners of the bounds.
func (e *Expression) Sides(values map[string]Value) (value Value, limit float64, above, ok bool) {
	if e.left == nil || len(e.Missing(values)) > 0 {
		return Value{}, 0, false, false
	}
	low, high := math.Inf(1), math.Inf(-1)
	var l, r float64
	err := e.corners(values, func(at map[string]any) error {
		var err error
		if l, err = number(e.left, at); err != nil {
			return err
		}
		if r, err = number(e.right, at); err != nil {
			return err
		}
		low, high = min(low, l-r), max(high, l-r)
		return nil
	})
	if err != nil || math.IsNaN(l) || math.IsNaN(r) || math.IsInf(high-low, 0) {
		return Value{}, 0, false, false
	}
	// corners ends in the middle: l and r are the sides there.
	return Value{l, max(high-(l-r), (l-r)-low)}, r, e.above, true
}

func number(p cel.Program, at map[string]any) (float64, error) {
	out, _, err := p.Eval(at)
	if err != nil {
		return 0, err
	}
	v, ok := out.Value().(float64)
	if !ok {
		return 0, errors.New("no number")
	}
	return v, nil
}

// corners calls do with the values at every combination of the ends of their bounds, and last in
// the middle.
func (e *Expression) corners(values map[string]Value, do func(map[string]any) error) error {
	var open []string // those with a bound
	at := map[string]any{}
	for _, n := range e.uses {
		at[n] = values[n].Value
		if values[n].Uncertainty > 0 {
			open = append(open, n)
		}
	}
	for bits := range 1 << len(open) {
		if len(open) == 0 {
			break
		}
		for i, n := range open {
			u := values[n].Uncertainty
			if bits>>i&1 == 0 {
				u = -u
			}
			at[n] = values[n].Value + u
		}
		if err := do(at); err != nil {
			return err
		}
	}
	for _, n := range open {
		at[n] = values[n].Value
	}
	return do(at)
}
