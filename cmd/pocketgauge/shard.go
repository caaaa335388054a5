package main

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"strconv"
	"strings"

	"pocketgauge/checks/report"
)

// parseShard reads I/N: the I-th of N parts, from 1.
func parseShard(text string) (i, n int, err error) {
	left, right, ok := strings.Cut(text, "/")
	i, err1 := strconv.Atoi(left)
	n, err2 := strconv.Atoi(right)
	if !ok || err1 != nil || err2 != nil || i < 1 || n < i {
		return 0, 0, fmt.Errorf("--shard %s: write I/N, the I-th of N parts, such as 2/4", text)
	}
	return i, n, nil
}

// shardOf is the part, from 1, to which a model belongs. It goes by the model's path from its
// workspace, so it is the same on every machine and stays when other models come or go.
func shardOf(model string, parts int) int {
	sum := sha256.Sum256([]byte(model))
	return int(binary.BigEndian.Uint64(sum[:8])%uint64(parts)) + 1
}

// shard leaves the I-th of N parts in the work, and says which places of the whole they have.
func (w *work) shard(i, n int) *report.Shard {
	s := &report.Shard{Index: i, Of: n, Total: len(w.inserts), At: []int{}, Whole: w.whole}
	inserts, origins := w.inserts[:0:0], w.origins[:0:0]
	for j := range w.inserts {
		if shardOf(w.origins[j].model, n) == i {
			s.At = append(s.At, j)
			inserts, origins = append(inserts, w.inserts[j]), append(origins, w.origins[j])
		}
	}
	w.inserts, w.origins, w.whole = inserts, origins, false
	return s
}
