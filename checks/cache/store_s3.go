//go:build s3

package cache

// The S3 driver brings a dozen modules and doubles the program, so only builds that ask hold it.
import _ "gocloud.dev/blob/s3blob"
