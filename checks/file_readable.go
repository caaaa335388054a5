package checks

// FileReadable has no Measure: whoever reads the model finds it broken when the reader returns an
// error, and met for every model that comes as far as being judged.
var FileReadable = Check{
	ID:    "file.readable",
	Title: "The model can be read whole",
	Doc: `A file cut short in the mail or saved by a failing disk still opens in many viewers. Measured: the
file is read to its last byte, counts are held against sizes, and every coordinate must be a finite
number. What is wrong is told with the byte, line or entity.`,
	Unit: Count,
	Mend: `Export the model again and check that the file arrived whole.`,
	Measure: func(*Subject) []Reading {
		return []Reading{{Measured: true, Limit: AtMost(0), Says: "Read to the last byte."}}
	},
}
