package report

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
)

// Shard says which part of a run this is.
type Shard struct {
	// Index is from 1 to Of.
	Index int `json:"index"`
	Of    int `json:"of"`
	// Total is how many inserts all parts have, At the place of each of this part's among them.
	Total int   `json:"total"`
	At    []int `json:"at"`
	// Whole is set where all parts together judge everything that the waivers are for.
	Whole bool `json:"whole"`
}

// Part is one part of a run, and the file it was read from.
type Part struct {
	File string
	Judged
}

// ReadPart reads the output of check --shard.
func ReadPart(file string, text []byte) (Part, error) {
	p := Part{File: file}
	if err := json.Unmarshal(text, &p.Judged); err != nil {
		return p, fmt.Errorf("%s is no output of check --format json: %w", file, err)
	}
	s := p.Shard
	switch {
	case s == nil:
		return p, fmt.Errorf("%s is no part of a run: it was not made with --shard", file)
	case s.Index < 1 || s.Index > s.Of || len(s.At) != len(p.Inserts):
		return p, fmt.Errorf("%s contradicts itself: part %d of %d, %d inserts at %d places", file, s.Index, s.Of, len(p.Inserts), len(s.At))
	}
	for _, at := range s.At {
		if at < 0 || at >= s.Total {
			return p, fmt.Errorf("%s contradicts itself: place %d of %d inserts", file, at, s.Total)
		}
	}
	return p, nil
}

// Merge puts the parts of a run together: what comes out is what one run of the whole gives. Every part
// must be there once, and all must be of one program and the same rules.
func Merge(parts []Part) (Judged, error) {
	if len(parts) == 0 {
		return Judged{}, errors.New("there is no part to merge")
	}
	first := &parts[0]
	of := make([]string, first.Shard.Of+1)
	r := Judged{Tool: first.Tool, Rules: first.Rules, Skipped: first.Skipped, Unassigned: first.Unassigned, Inserts: make([]Insert, first.Shard.Total)}
	filled := make([]bool, first.Shard.Total)
	r.Waivers = slices.Clone(first.Waivers)
	for i := range parts {
		p := &parts[i]
		s := p.Shard
		switch {
		case s.Of != first.Shard.Of || s.Total != first.Shard.Total || s.Whole != first.Shard.Whole:
			return r, fmt.Errorf("%s and %s are parts of different runs: %d inserts in %d parts, %d in %d", first.File, p.File, first.Shard.Total, first.Shard.Of, s.Total, s.Of)
		case of[s.Index] != "":
			return r, fmt.Errorf("%s and %s are both part %d", of[s.Index], p.File, s.Index)
		case p.Tool != first.Tool:
			return r, fmt.Errorf("%s and %s were made by different programs: %s, %s", first.File, p.File, first.Tool, p.Tool)
		case !reflect.DeepEqual(p.Rules, first.Rules):
			return r, fmt.Errorf("%s and %s were judged by different rules", first.File, p.File)
		case !slices.Equal(p.Skipped, first.Skipped) || len(p.Waivers) != len(first.Waivers):
			return r, fmt.Errorf("%s and %s were made with different options or waivers", first.File, p.File)
		}
		of[s.Index] = p.File
		for j, at := range s.At {
			if filled[at] {
				return r, fmt.Errorf("%s: insert %d stands in another part too", p.File, at+1)
			}
			filled[at] = true
			r.Inserts[at] = p.Inserts[j]
		}
		for j := range p.Waivers {
			a, b := r.Waivers[j], p.Waivers[j]
			if a.File != b.File || a.Line != b.Line || a.Check != b.Check || a.Models != b.Models || a.Expired != b.Expired {
				return r, fmt.Errorf("%s and %s were made with different waivers, or on different days", first.File, p.File)
			}
			if i > 0 {
				r.Waivers[j].Inserts += b.Inserts
				r.Waivers[j].Waives += b.Waives
				r.Waivers[j].Unjudged += b.Unjudged
			}
		}
	}
	for i, file := range of[1:] {
		if file == "" {
			return r, fmt.Errorf("part %d of %d is missing", i+1, first.Shard.Of)
		}
	}
	if i := slices.Index(filled, false); i >= 0 {
		return r, fmt.Errorf("no part holds insert %d of %d: the parts were not made from the same models", i+1, first.Shard.Total)
	}
	for i := range r.Waivers {
		r.Waivers[i].Settle(first.Shard.Whole)
	}
	return r, nil
}
