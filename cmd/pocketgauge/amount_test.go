package main

import "testing"

func TestAmountsOfMemory(t *testing.T) {
	for text, want := range map[string]int64{"2GiB": 2 << 30, "1.5 MiB": 3 << 19, "500MB": 500e6, "64k": 0, "2G": 2 << 30, "1024": 1024, "7B": 7, "": 0, "-1": 0, "0": 0, "many": 0, "1e30": 0, "NaN": 0} {
		got, err := parseBytes(text)
		if (err != nil) != (want == 0) || err == nil && got != want {
			t.Errorf("%q is %d (%v), want %d", text, got, err, want)
		}
	}
}

func TestShardsAreWrittenAsTheyAre(t *testing.T) {
	for text, want := range map[string][2]int{"1/1": {1, 1}, "2/3": {2, 3}, "0/3": {}, "4/3": {}, "a/b": {}, "2": {}, "1/0": {}, "1/3/5": {}} {
		i, n, err := parseShard(text)
		if (err != nil) != (want[1] == 0) || err == nil && (i != want[0] || n != want[1]) {
			t.Errorf("%q is %d of %d (%v), want %v", text, i, n, err, want)
		}
	}
}
