// Package testdata carries the demo workspace inside the program, so that `pocketgauge demo`
// works where only the binary is.
package testdata

import "embed"

// Apiary is the demo: a small moulder of bee-keeping hardware, two frames, their inserts.
//
//go:embed apiary
var Apiary embed.FS

// ApiaryFolder is the demo's folder within Apiary.
const ApiaryFolder = "apiary"
