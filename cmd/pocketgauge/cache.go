package main

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"pocketgauge/checks/cache"
)

func newCache(set *settings, s streams) *cobra.Command {
	var limits keptLimits
	open := func(cmd *cobra.Command) (*cache.Cache, string, error) {
		folder := cache.Folder()
		if folder == "" {
			return nil, "", errors.New("no results are kept: POCKETGAUGE_CACHE is off, or there is no cache folder for this user")
		}
		c, err := cache.Open(cmd.Context(), cache.Options{Folder: folder, Tell: func(what string) { fmt.Fprintln(s.err, "pocketgauge:", what) }})
		return c, folder, err
	}
	// said prints what a folder holds or lost.
	said := func(folder, words string, u cache.Usage) error {
		if set.format != "text" {
			one := cacheUsage{folder, words, u.Results, u.Bytes}
			if set.format == "jsonl" {
				return writeLine(s.out, one)
			}
			return writeJSON(s.out, one)
		}
		_, err := fmt.Fprintf(s.out, "%s: %s %s, %s\n", folder, words, counted(u.Results, "result"), bytesText(u.Bytes))
		return err
	}
	cmd := &cobra.Command{
		Use:   "cache",
		Short: "Show, prune or clear the results that check keeps",
		Long: `check keeps the result of every insert by the content of all it depends on, and does not measure
again what is unchanged. cache says where they lie and how much there is; cache prune removes what
check itself would remove once a day; cache clear removes all. Other runs may go on meanwhile.

The folder is POCKETGAUGE_CACHE, else the user's cache folder. What --store names is not touched.`,
		Example: `  pocketgauge cache
  pocketgauge cache prune --cache-size 500MiB --cache-days 30
  pocketgauge cache clear`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			c, folder, err := open(cmd)
			if err != nil {
				return err
			}
			u, err := c.Usage()
			if err != nil {
				return err
			}
			return said(folder, "holds", u)
		},
	}
	prune := &cobra.Command{
		Use: "prune", Short: "Remove what was not used for long, and what is more than may be kept", Args: cobra.NoArgs,
		Example: "  pocketgauge cache prune --cache-size 500MiB --cache-days 30",
		RunE: func(cmd *cobra.Command, _ []string) error {
			l, err := limits.read()
			if err != nil {
				return err
			}
			c, folder, err := open(cmd)
			if err != nil {
				return err
			}
			u, err := c.Prune(l, time.Now())
			if err != nil {
				return err
			}
			return said(folder, "removed", u)
		},
	}
	limits.flags(prune)
	clean := &cobra.Command{
		Use: "clear", Short: "Remove all kept results", Args: cobra.NoArgs,
		Example: "  pocketgauge cache clear",
		RunE: func(cmd *cobra.Command, _ []string) error {
			c, folder, err := open(cmd)
			if err != nil {
				return err
			}
			u, err := c.Clear()
			if err != nil {
				return err
			}
			return said(folder, "removed", u)
		},
	}
	cmd.AddCommand(prune, clean)
	return cmd
}

// cacheUsage is what the command prints for programs.
type cacheUsage struct {
	Folder  string `json:"folder"`
	What    string `json:"what"` // holds or removed
	Results int    `json:"results"`
	Bytes   int64  `json:"bytes"`
}

func counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// bytesText is an amount of bytes for people.
func bytesText(n int64) string {
	for _, u := range slices.Backward(byteUnits[:4]) {
		if float64(n) >= u.bytes {
			return fmt.Sprintf("%.1f %s", float64(n)/u.bytes, u.name)
		}
	}
	return counted(int(n), "byte")
}
