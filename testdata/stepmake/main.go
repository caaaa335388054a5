// Command stepmake writes the files of package solids into a folder, with what is known of them in
// expected.csv.
//
//	go run ./testdata/stepmake -out DIR
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"pocketgauge/testdata/stepmake/solids"
)

func main() {
	out := flag.String("out", "", "folder to write the files into")
	flag.Parse()
	if *out == "" || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	if err := write(*out); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func write(folder string) error {
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	var table strings.Builder
	table.WriteString("file,path,volume_mm3,area_mm2,min_x,min_y,min_z,max_x,max_y,max_z,open,error\n")
	for _, c := range solids.Cases() {
		name := c.Name + ".step"
		if err := os.WriteFile(filepath.Join(folder, name), c.Text, 0o666); err != nil {
			return err
		}
		for _, s := range c.Solids {
			fmt.Fprintf(&table, "%s,%s,%v,%v,%v,%v,%v,%v,%v,%v,%v,\n", name, s.Path, s.VolumeMM3, s.AreaMM2,
				s.Min.X, s.Min.Y, s.Min.Z, s.Max.X, s.Max.Y, s.Max.Z, s.Open)
		}
		if c.Err != "" {
			fmt.Fprintf(&table, "%s,,,,,,,,,,,%s\n", name, c.Err)
		}
	}
	return os.WriteFile(filepath.Join(folder, "expected.csv"), []byte(table.String()), 0o666)
}
