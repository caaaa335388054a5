package render

import (
	"image"
	"image/png"
	"io"
	"sync"
)

type pngBuffers struct{ pool sync.Pool }

func (p *pngBuffers) Get() *png.EncoderBuffer {
	b, _ := p.pool.Get().(*png.EncoderBuffer)
	return b
}

func (p *pngBuffers) Put(b *png.EncoderBuffer) { p.pool.Put(b) }

var encoder = png.Encoder{CompressionLevel: png.DefaultCompression, BufferPool: &pngBuffers{}}

// EncodePNG writes a picture as PNG: no clock, no name, the same bytes for the same pixels with
// the same version of Go.
func EncodePNG(w io.Writer, m image.Image) error { return encoder.Encode(w, m) }
