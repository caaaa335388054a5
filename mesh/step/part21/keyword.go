package part21

import "strings"

// keywords numbers the keywords of a text.
type keywords struct {
	names []string // by type; names[NoType] is ""
	index map[string]Type
	// recent holds the last keyword of each of a few cheap hashes: files use a few dozen types
	// over and over, and a look here costs less than one in the map.
	recent [256]Type
}

func newKeywords(known []string) *keywords {
	k := &keywords{names: make([]string, 1, len(known)+64), index: make(map[string]Type, len(known)+64)}
	for _, n := range known {
		k.names = append(k.names, n)
		if _, twice := k.index[n]; !twice {
			k.index[n] = Type(len(k.names) - 1)
		}
	}
	return k
}

// number is the type of the keyword written in w, which is not empty.
func (k *keywords) number(w []byte) Type {
	h := (uint(w[0])*5 + uint(w[len(w)>>1])*31 + uint(w[len(w)-1])*3 + uint(len(w))*67) & 255
	if t := k.recent[h]; k.names[t] == string(w) {
		return t
	}
	t, known := k.index[string(w)]
	if !known {
		name := strings.ToUpper(string(w))
		if t, known = k.index[name]; !known {
			t = Type(len(k.names))
			k.names = append(k.names, name)
			k.index[name] = t
		}
		return t
	}
	k.recent[h] = t
	return t
}

// find is the type of a keyword, NoType if there is none.
func (k *keywords) find(name string) Type {
	if t, ok := k.index[name]; ok {
		return t
	}
	return k.index[strings.ToUpper(name)]
}
