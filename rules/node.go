package rules

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

type nodeKind uint8

const (
	scalarNode nodeKind = iota
	mapNode
	listNode
)

func (k nodeKind) String() string {
	return [...]string{"a single value", "a group of keys", "a list"}[k]
}

// node is a piece of YAML with its place; aliases have been followed.
type node struct {
	kind         nodeKind
	line, column int
	width        int
	text         string // of a scalar
	// quoted text is never a number; null is a key with nothing after it.
	quoted, null, boolean bool
	entries               []entry
	keys                  map[string]*node
	items                 []*node
}

type entry struct {
	key   *node
	value *node
}

// get is the value of a key, nil when it is not there.
func (n *node) get(name string) *node {
	if n == nil || n.keys[name] == nil {
		return nil
	}
	for _, e := range n.entries {
		if e.key.text == name {
			return e.value
		}
	}
	return nil
}

// nodeReader turns a syntax tree into nodes within the bounds.
type nodeReader struct {
	source  *source
	report  *reporter
	anchors map[string]*node
	sizes   map[*node]int
	left    int
	stopped bool
}

// readNodes parses a file. A nil node means that nothing can be read from it; the reporter then
// holds the reason, unless the file is empty.
func readNodes(s *source, report *reporter) (root *node) {
	r := &nodeReader{source: s, report: report, anchors: map[string]*node{}, sizes: map[*node]int{}, left: mostNodes}
	defer func() {
		// The parser is not ours; a fault in it must not end the program, and is a mistake of this
		// file as far as the reader can tell.
		if cause := recover(); cause != nil {
			report.add(Problem{File: s.name, Line: 1, Column: 1, Says: fmt.Sprintf("the YAML reader gave up on this file (%v)", cause)})
			root = nil
		}
	}()
	tokens := lexer.Tokenize(string(s.text))
	if !r.bounded(tokens) {
		return nil
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.syntax(err)
		return nil
	}
	var body ast.Node
	for _, doc := range file.Docs {
		if doc.Body == nil {
			continue
		}
		if body != nil {
			r.problem(firstToken(doc.Body), "a second document starts here", "keep one frame in one file, without --- between")
			return nil
		}
		body = doc.Body
	}
	if body == nil {
		return nil
	}
	root = r.node(body, 1)
	if r.stopped {
		return nil
	}
	return root
}

func (r *nodeReader) problem(tk *token.Token, says, hint string) {
	line, column := r.source.placeOf(tk)
	width := 1
	if tk != nil {
		width = utf8.RuneCountInString(strings.TrimSpace(tk.Value))
	}
	r.report.add(Problem{File: r.source.name, Line: line, Column: column, Width: width, Says: says, Hint: hint})
}

func (r *nodeReader) stop(tk *token.Token, says, hint string) {
	if !r.stopped {
		r.problem(tk, says, hint)
	}
	r.stopped = true
}

func (r *nodeReader) syntax(err error) {
	var known yaml.Error
	if !errors.As(err, &known) {
		r.problem(nil, "not YAML: "+err.Error(), "")
		return
	}
	says, hint := known.GetMessage(), ""
	tk := known.GetToken()
	if strings.Contains(says, "\t") {
		says = "a tab stands here"
	}
	if strings.Contains(r.source.line(lineOf(tk)), "\t") {
		hint = "indent with spaces; YAML does not take tabs"
	}
	r.problem(tk, "not YAML: "+clean(says), hint)
}

// firstToken is where a node starts; that of a map is otherwise its first colon.
func firstToken(n ast.Node) *token.Token {
	switch n := n.(type) {
	case *ast.MappingNode:
		if !n.IsFlowStyle && len(n.Values) > 0 {
			return n.Values[0].Key.GetToken()
		}
	case *ast.MappingValueNode:
		return n.Key.GetToken()
	}
	return n.GetToken()
}

func lineOf(tk *token.Token) int {
	if tk == nil || tk.Position == nil {
		return 1
	}
	return tk.Position.Line
}

// bounded looks at the tokens before the parser does: the parser recurses, so nesting must be
// bounded before it starts.
func (r *nodeReader) bounded(tokens token.Tokens) bool {
	flow, onLine, line, anchors, keys := 0, 0, 0, 0, 0
	for _, tk := range tokens {
		if tk.Position != nil && tk.Position.Line != line {
			line, onLine = tk.Position.Line, 0
		}
		switch tk.Type {
		case token.SequenceStartType, token.MappingStartType:
			flow++
		case token.SequenceEndType, token.MappingEndType:
			flow--
		case token.SequenceEntryType, token.MappingKeyType:
			onLine++
		case token.MappingValueType:
			// The parser's time grows with the square of the keys in a map.
			if keys++; keys > mostKeys {
				r.stop(tk, fmt.Sprintf("more than %d keys", mostKeys), "")
			}
		case token.TagType:
			r.stop(tk, "a YAML tag has no meaning here", "leave it out")
		case token.DirectiveType:
			r.stop(tk, "a YAML directive has no meaning here", "leave it out")
		case token.AnchorType:
			if anchors++; anchors > mostAnchors {
				r.stop(tk, fmt.Sprintf("more than %d anchors", mostAnchors), "")
			}
		}
		if flow > mostDepth || onLine > mostDepth {
			r.stop(tk, fmt.Sprintf("nested deeper than %d levels", mostDepth), "")
		}
		if r.stopped {
			return false
		}
	}
	return true
}

func (r *nodeReader) node(n ast.Node, depth int) *node {
	if r.stopped {
		return nil
	}
	if depth > mostDepth {
		r.stop(n.GetToken(), fmt.Sprintf("nested deeper than %d levels", mostDepth), "")
		return nil
	}
	if !r.spend(1, n.GetToken()) {
		return nil
	}
	switch n := n.(type) {
	case *ast.AnchorNode:
		out := r.node(n.Value, depth+1)
		if out != nil {
			// Entered after its value was read, so that an anchor cannot hold itself.
			r.anchors[n.Name.GetToken().Value] = out
		}
		return out
	case *ast.AliasNode:
		name := n.Value.GetToken().Value
		to := r.anchors[name]
		if to == nil {
			r.stop(n.GetToken(), fmt.Sprintf("*%s stands for nothing: no &%s before it", clean(name), clean(name)), "")
			return nil
		}
		if !r.spend(r.size(to), n.GetToken()) {
			return nil
		}
		return to
	case *ast.MappingNode:
		out := r.place(&node{kind: mapNode}, firstToken(n))
		for _, v := range n.Values {
			r.entry(out, v, depth)
		}
		return out
	case *ast.MappingValueNode:
		out := r.place(&node{kind: mapNode}, firstToken(n))
		r.entry(out, n, depth)
		return out
	case *ast.SequenceNode:
		out := r.place(&node{kind: listNode}, n.GetToken())
		for _, v := range n.Values {
			if item := r.node(v, depth+1); item != nil {
				out.items = append(out.items, item)
			}
		}
		return out
	case *ast.LiteralNode:
		out := r.place(&node{quoted: true, text: strings.TrimSpace(n.Value.Value)}, n.GetToken())
		return out
	case *ast.NullNode:
		return r.place(&node{null: true}, n.GetToken())
	case ast.ScalarNode:
		tk := n.GetToken()
		out := &node{text: tk.Value}
		switch tk.Type {
		case token.SingleQuoteType, token.DoubleQuoteType:
			out.quoted = true
		case token.BoolType:
			out.boolean = true
		}
		return r.place(out, tk)
	}
	r.stop(n.GetToken(), "this piece of YAML has no meaning here", "")
	return nil
}

func (r *nodeReader) entry(out *node, v *ast.MappingValueNode, depth int) {
	tk := v.Key.GetToken()
	if _, merge := v.Key.(*ast.MergeKeyNode); merge {
		r.stop(tk, "<< has no meaning here", "let the file inherit another one instead")
		return
	}
	scalar, ok := v.Key.(ast.ScalarNode)
	if !ok {
		r.stop(tk, "a key must be a word", "")
		return
	}
	if !r.spend(1, tk) {
		return
	}
	key := r.place(&node{text: scalar.GetToken().Value, quoted: true}, tk)
	value := r.node(v.Value, depth+1)
	if value == nil {
		return
	}
	if out.keys == nil {
		out.keys = map[string]*node{}
	}
	if first := out.keys[key.text]; first != nil {
		r.problem(tk, fmt.Sprintf("%q stands here twice; it is on line %d already", clean(key.text), first.line), "keep one of the two")
		return
	}
	out.keys[key.text] = key
	out.entries = append(out.entries, entry{key, value})
}

// spend counts nodes, so that aliases of aliases cannot grow without bound.
func (r *nodeReader) spend(n int, tk *token.Token) bool {
	if r.left -= n; r.left < 0 {
		r.stop(tk, fmt.Sprintf("more than %d values, counting what aliases repeat", mostNodes), "")
	}
	return !r.stopped
}

// size counts the nodes of a subtree. Subtrees are shared, so the count is kept.
func (r *nodeReader) size(n *node) int {
	if known, found := r.sizes[n]; found {
		return known
	}
	total := 1
	for _, e := range n.entries {
		total += 1 + r.size(e.value)
	}
	for _, item := range n.items {
		total += r.size(item)
	}
	total = min(total, mostNodes+1)
	r.sizes[n] = total
	return total
}

func (r *nodeReader) place(n *node, tk *token.Token) *node {
	n.line, n.column = r.source.placeOf(tk)
	n.width = 1
	if tk == nil {
		return n
	}
	n.width = max(1, utf8.RuneCountInString(strings.TrimSpace(strings.SplitN(tk.Value, "\n", 2)[0])))
	if tk.Type == token.SingleQuoteType || tk.Type == token.DoubleQuoteType {
		n.width += 2
	}
	if n.null {
		n.width = 1
	}
	r.source.widths[[2]int{n.line, n.column}] = n.width
	return n
}
