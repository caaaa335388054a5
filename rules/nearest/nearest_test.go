package nearest

import "testing"

func TestWord(t *testing.T) {
	keys := []string{"depth", "width", "length", "corner_radius", "proud", "fit", "y"}
	for word, want := range map[string]string{
		"dept": "depth", "widht": "width", "lenght": "length", "cornerradius": "corner_radius",
		"fitt": "fit", "banana": "", "": "", "x": "", "q": "",
	} {
		if got, ok := Word(word, keys); got != want || ok != (want != "") {
			t.Errorf("Word(%q) = %q, %v; want %q", word, got, ok, want)
		}
	}
}

// Distances by hand: kitten to sitting is the usual textbook example of three changes; a swap of
// neighbours counts once.
func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ab", "ba", 1}, {"", "abc", 3}, {"abc", "abc", 0}, {"ca", "abc", 3}} {
		if got := distance([]rune(c.a), []rune(c.b)); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
		if got := distance([]rune(c.b), []rune(c.a)); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.b, c.a, got, c.want)
		}
	}
}
