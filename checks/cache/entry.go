package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
)

// form stands first in every entry; another number is another layout.
const form = "pocketgauge result 1"

// seal puts a checksum of key and body before the body: an entry that was cut short, changed, or
// copied under another name does not hold.
func seal(k Key, body []byte) []byte {
	return append(fmt.Appendf(nil, "%s %s\n", form, checksum(k, body)), body...)
}

func checksum(k Key, body []byte) string {
	h := sha256.New()
	h.Write(k[:])
	h.Write(body)
	return hex.EncodeToString(h.Sum(nil))
}

func unseal(k Key, sealed []byte) ([]byte, error) {
	head, body, ok := bytes.Cut(sealed, []byte("\n"))
	sum, known := bytes.CutPrefix(head, []byte(form+" "))
	switch {
	case !ok || !known:
		return nil, errors.New("it does not begin as an entry does")
	case string(sum) != checksum(k, body):
		return nil, errors.New("its checksum does not hold")
	}
	return body, nil
}
