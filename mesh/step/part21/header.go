package part21

// Header is the content of FILE_DESCRIPTION, FILE_NAME and FILE_SCHEMA (ISO 10303-21:2016, 8.2).
type Header struct {
	Description         []string
	ImplementationLevel string
	Name, TimeStamp     string
	Author              []string
	Organization        []string
	Preprocessor        string
	OriginatingSystem   string
	Authorization       string
	Schemas             []string // as written: "AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }"
}

// Header is the file's header section. What the file leaves out, or gives as something other than
// text, is empty.
func (f *File) Header() Header {
	var h Header
	for _, p := range f.header {
		c := Record{f: f, i: nobody, at: p.at, t: p.t}.Params()
		text := func() string {
			if !c.More() {
				return ""
			}
			s, _ := c.Next().String()
			return s
		}
		texts := func() (all []string) {
			if !c.More() {
				return nil
			}
			v := c.Next()
			if v.Kind() != KindList {
				if s, err := v.String(); err == nil {
					all = append(all, s)
				}
				return all
			}
			members := v.Members()
			for member := range members.Values() {
				s, _ := member.String()
				all = append(all, s)
			}
			return all
		}
		switch f.Keyword(p.t) {
		case "FILE_DESCRIPTION":
			h.Description, h.ImplementationLevel = texts(), text()
		case "FILE_NAME":
			h.Name, h.TimeStamp = text(), text()
			h.Author, h.Organization = texts(), texts()
			h.Preprocessor, h.OriginatingSystem, h.Authorization = text(), text(), text()
		case "FILE_SCHEMA":
			h.Schemas = texts()
		}
	}
	return h
}
