package cache

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"math"
	"path/filepath"
	"reflect"

	"pocketgauge/checks/batch"
	"pocketgauge/rules"
)

// KeyOf is the key of an insert's result as the program named makes it. It reads the insert's model,
// and every other file that judging it reads, or takes their digests from the index.
//
// Every field of the insert counts, those that will be added too; one of a kind that is not understood
// is an error, and the result is then not kept. Where in a file something was written does not count,
// nor does the folder in which the model lies.
func (c *Cache) KeyOf(program string, in *batch.Insert) (k Key, model string, err error) {
	h := sha256.New()
	word(h, "insert", program)
	if model, err = c.insert(h, in, true); err != nil {
		return k, "", err
	}
	h.Sum(k[:0])
	return k, model, nil
}

var (
	insertType = reflect.TypeFor[batch.Insert]()
	originType = reflect.TypeFor[rules.Origin]()
	frameType  = reflect.TypeFor[*rules.Frame]()
)

// insert writes an insert; first is the one that is judged, whose file is named in the report by
// whoever reads the result, and not in the result.
func (c *Cache) insert(h hash.Hash, in *batch.Insert, first bool) (model string, err error) {
	if model, err = c.Digest(in.File); err != nil {
		return "", err
	}
	word(h, "model", model)
	v := reflect.ValueOf(*in)
	for i := range v.NumField() {
		f := insertType.Field(i)
		word(h, "field", f.Name)
		switch {
		case f.Name == "File" && first:
			word(h, "file", filepath.Base(in.File)) // nameless bodies are called after it
		case f.Type == frameType:
			if err := c.frame(h, in.Frame); err != nil {
				return "", err
			}
		case f.Type == reflect.PointerTo(insertType):
			if p := v.Field(i); p.IsNil() {
				word(h, "none")
			} else if _, err := c.insert(h, p.Interface().(*batch.Insert), false); err != nil {
				return "", err
			}
		default:
			if err := value(h, v.Field(i)); err != nil {
				return "", fmt.Errorf("%s: %w", f.Name, err)
			}
		}
	}
	return model, nil
}

// frame writes a frame: its rules files, and its blank where that is a model.
func (c *Cache) frame(h hash.Hash, f *rules.Frame) error {
	word(h, "frame", f.File, f.Digest())
	if !f.Blank.Model.Set {
		return nil
	}
	blank, err := c.Digest(f.Blank.ModelPath)
	word(h, "blank", blank)
	return err
}

// value writes plain data, each piece with its kind and length so that no two values come out alike.
func value(h hash.Hash, v reflect.Value) error {
	if v.Type() == originType {
		return nil
	}
	switch v.Kind() {
	case reflect.String:
		word(h, "string", v.String())
	case reflect.Bool:
		word(h, "bool", fmt.Sprint(v.Bool()))
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		word(h, "int", fmt.Sprint(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		word(h, "uint", fmt.Sprint(v.Uint()))
	case reflect.Float32, reflect.Float64:
		word(h, "float", fmt.Sprintf("%016x", math.Float64bits(v.Float())))
	case reflect.Struct:
		for i := range v.NumField() {
			word(h, "field", v.Type().Field(i).Name)
			if err := value(h, v.Field(i)); err != nil {
				return err
			}
		}
	case reflect.Slice, reflect.Array:
		word(h, "list", fmt.Sprint(v.Len()))
		for i := range v.Len() {
			if err := value(h, v.Index(i)); err != nil {
				return err
			}
		}
	default:
		return fmt.Errorf("a %s has no place in a key", v.Type())
	}
	return nil
}

func word(h hash.Hash, words ...string) {
	var n [8]byte
	for _, w := range words {
		binary.LittleEndian.PutUint64(n[:], uint64(len(w)))
		h.Write(n[:])
		h.Write([]byte(w))
	}
}
