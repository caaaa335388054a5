package part21

// Check looks up every reference of every instance and reports the first that the file does not
// define. Reading through [Value.Instance] reports the same at its use.
func (f *File) Check() error {
	text := f.text
	for i := range f.entries {
		for r := range (Instance{f, uint32(i)}).Records() {
			for p, depth := int(r.at), 0; ; {
				switch text[p] {
				case '(':
					depth++
				case ')':
					depth--
				case '\'':
					p = afterString(text, p)
					continue
				case '/':
					p = slowGap(text, p)
					continue
				case '#':
					v := Value{f, uint32(i), uint32(p)}
					if v.Kind() == KindReference {
						if _, err := v.Instance(); err != nil {
							return err
						}
					}
				}
				p++
				if depth == 0 {
					break
				}
			}
		}
	}
	return nil
}
