package part21

// Unpack gives the text of a STEP file that may have been packed by gzip or zip, told by its first
// bytes. A zip archive must hold one file that ends in .stp, .step or .p21. Plain text is returned
// as it is.
func Unpack(data []byte) ([]byte, error) { panic("not yet") }
