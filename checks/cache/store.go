package cache

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"strings"

	"gocloud.dev/blob"
	"gocloud.dev/blob/fileblob"
	_ "gocloud.dev/blob/memblob" // mem://, for tests and one run
	"gocloud.dev/gcerrors"
)

// store is where several machines keep results together.
type store struct {
	bucket *blob.Bucket
}

// openStore opens a folder, or the URL of a bucket whose driver this build holds.
func openStore(ctx context.Context, where string) (*store, error) {
	scheme, _, isURL := strings.Cut(where, "://")
	if !isURL {
		folder, err := filepath.Abs(where)
		if err != nil {
			return nil, fmt.Errorf("store %s: %w", where, err)
		}
		// Entries are made beside their place: a rename out of another file system would not be whole.
		b, err := fileblob.OpenBucket(folder, &fileblob.Options{CreateDir: true, NoTempDir: true, Metadata: fileblob.MetadataDontWrite})
		if err != nil {
			return nil, fmt.Errorf("store %s: %w", where, err)
		}
		return &store{b}, nil
	}
	u, err := url.Parse(where)
	if err != nil {
		return nil, fmt.Errorf("store %s: %w", where, err)
	}
	if !blob.DefaultURLMux().ValidBucketScheme(u.Scheme) {
		return nil, fmt.Errorf("store %s: this build knows no %s://; it knows %s (a build with -tags s3 knows s3)", u.Redacted(), scheme, strings.Join(blob.DefaultURLMux().BucketSchemes(), ", "))
	}
	b, err := blob.DefaultURLMux().OpenBucketURL(ctx, u)
	if err != nil {
		return nil, fmt.Errorf("store %s: %w", u.Redacted(), err)
	}
	return &store{b}, nil
}

func (s *store) name(k Key) string { return "results/" + k.String()[:2] + "/" + k.String()[2:] }

// get is nil where nothing is kept under the key.
func (s *store) get(ctx context.Context, k Key) ([]byte, error) {
	data, err := s.bucket.ReadAll(ctx, s.name(k))
	if gcerrors.Code(err) == gcerrors.NotFound {
		return nil, nil
	}
	return data, shortened(err)
}

func (s *store) put(ctx context.Context, k Key, data []byte) error {
	return shortened(s.bucket.WriteAll(ctx, s.name(k), data, &blob.WriterOptions{ContentType: "application/octet-stream"}))
}

// shortened keeps the cause of a driver's error: what it wraps it in names the request again and again.
func shortened(err error) error {
	var cause *url.Error
	if errors.As(err, &cause) {
		return cause.Err
	}
	return err
}
