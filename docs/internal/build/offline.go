package build

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"

	"example.org/bobweight/docs/assets"
)

// offlineScript is the part of the assets that keeps the site for use without a network.
const offlineScript = "offline.js"

// worker makes the service worker: the script with the list of files to keep and a mark
// of their contents, by which a browser knows that the site has changed. What a page
// from a server never asks for, and what is only there to be saved, is not kept.
func (b *builder) worker() error {
	script, err := assets.Files.ReadFile(offlineScript)
	if err != nil {
		return err
	}
	var names []string
	mark := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(b.site)) {
		folderOnly := slices.ContainsFunc(libraries, func(l library) bool { return l.script == name })
		saved := strings.HasPrefix(name, "studies/") && (path.Ext(name) == ".png" || path.Ext(name) == ".csv")
		if folderOnly || saved {
			continue
		}
		names = append(names, name)
		fmt.Fprintf(mark, "%s %x\n", name, sha256.Sum256(b.site[name]))
	}
	list, err := json.Marshal(names)
	if err != nil {
		return err
	}
	b.site["offline.js"] = fmt.Appendf(nil, "const kept = %q;\nconst files = %s;\n%s", "bobweight-"+hex.EncodeToString(mark.Sum(nil))[:16], list, script)
	return nil
}
