package main

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"path/filepath"
)

const (
	fewestTriangles = 5_000
	mostTriangles   = 200_000
)

const benchRules = `frame: Batch 120
pocket:
  outline:
    rectangle: {width: 120, length: 90}
  depth: 40
  clearance: {least: 0.01, most: 0.04}
  proud: {least: 0.02, most: 0.05}
`

const benchWorkspace = `inserts:
  - {models: "inserts/**", rules: rules/batch.yaml, half: moving}
`

// makeBatch writes a workspace of so many models. Their sizes are spread evenly over the logarithm of the
// number of triangles, each is another, every seventh is too wide and every fiftieth is cut short.
func makeBatch(dir string, count int) error {
	for name, text := range map[string]string{"pocketgauge.yaml": benchWorkspace, "rules/batch.yaml": benchRules} {
		file := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			return err
		}
	}
	total, bytes := 0, int64(0)
	for i := range count {
		// The golden ratio spreads the sizes evenly whatever the count.
		_, share := math.Modf(float64(i) * (math.Sqrt(5) - 1) / 2)
		triangles := fewestTriangles * math.Pow(mostTriangles/fewestTriangles, share)
		file := filepath.Join(dir, "inserts", fmt.Sprintf("%02d", i/100), fmt.Sprintf("insert-%04d.stl", i))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return err
		}
		right := 59.98
		if i%7 == 3 {
			right = 60.03
		}
		// 2 n (n m) for the top, 3 for each edge of the rim: n cells across, 3/4 of that along.
		n := int(math.Sqrt(triangles / 1.5))
		t, size, err := writeInsert(file, n, n*3/4, right, 0.3+0.2*share, float64(i))
		if err != nil {
			return err
		}
		if i%50 == 49 {
			if err := os.Truncate(file, size/2); err != nil {
				return err
			}
			size /= 2
		}
		total, bytes = total+t, bytes+size
	}
	fmt.Printf("%d models, %d triangles, %.2f GB in %s\n", count, total, float64(bytes)/1e9, dir)
	return nil
}

type point [3]float32

// writeInsert writes a block whose top is a grid of nx by ny cells: flat at the rim, sunk and wavy within.
func writeInsert(file string, nx, ny int, right, wave, phase float64) (triangles int, size int64, err error) {
	f, err := os.Create(file)
	if err != nil {
		return 0, 0, err
	}
	defer f.Close()
	b := bufio.NewWriterSize(f, 1<<20)
	const left, front, back, top, floor = -59.98, -44.98, 44.98, 40.03, 28.0
	at := func(i, j int) point {
		u, v := float64(i)/float64(nx), float64(j)/float64(ny)
		x, y, z := left+(right-left)*u, front+(back-front)*v, top
		if u > 0.25 && u < 0.75 && v > 0.25 && v < 0.75 {
			z = floor + wave*(math.Sin(9*math.Pi*u+phase)+math.Cos(7*math.Pi*v))
		}
		return point{float32(x), float32(y), float32(z)}
	}
	down := func(p point) point { return point{p[0], p[1], 0} }
	triangles = 2*nx*ny + 3*2*(nx+ny)
	head := make([]byte, 84)
	copy(head, "batch insert")
	binary.LittleEndian.PutUint32(head[80:], uint32(triangles))
	b.Write(head)
	var facet [50]byte
	emit := func(p, q, r point) {
		for k, v := range [3]point{p, q, r} {
			for c := range v {
				binary.LittleEndian.PutUint32(facet[12+12*k+4*c:], math.Float32bits(v[c]))
			}
		}
		b.Write(facet[:])
	}
	for j := range ny {
		for i := range nx {
			p, q, r, s := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			emit(p, q, r)
			emit(p, r, s)
		}
	}
	// The rim, turned about the block against the clock, is what sides and seat hang on.
	centre := point{float32((left + right) / 2), 0, 0}
	edge := func(p, q point) {
		emit(p, down(p), down(q))
		emit(p, down(q), q)
		emit(down(q), down(p), centre)
	}
	for i := range nx {
		edge(at(i, 0), at(i+1, 0))
		edge(at(nx-i, ny), at(nx-i-1, ny))
	}
	for j := range ny {
		edge(at(nx, j), at(nx, j+1))
		edge(at(0, ny-j), at(0, ny-j-1))
	}
	if err := b.Flush(); err != nil {
		return 0, 0, err
	}
	return triangles, int64(84 + 50*triangles), f.Close()
}
