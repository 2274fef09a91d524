// Package islands makes the files that browsers get: it bundles the TypeScript
// under internal/web/islands with esbuild, and draws the icons. What it makes
// is committed under internal/web/static, so that the program is built without
// Node and without this package; a test makes it anew and compares.
//
// Bundling checks no types; `./check islands` does, with the TypeScript
// compiler, where Node is.
package islands

import (
	"crypto/sha512"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/evanw/esbuild/pkg/api"
)

// Scripts bundles the islands of a folder internal/web and gives the files by
// name, each with a hash of its content in it, beside built.json, which says
// which name stands for which entry point.
func Scripts(web string) (map[string][]byte, error) {
	web, err := filepath.Abs(web)
	if err != nil {
		return nil, err
	}
	out := map[string][]byte{}
	names := map[string]string{}
	options := api.BuildOptions{
		AbsWorkingDir: web, Outdir: filepath.Join(web, "static", "built"), Outbase: "islands", EntryNames: "[name]-[hash]", ChunkNames: "[name]-[hash]",
		Bundle: true, MinifyWhitespace: true, MinifyIdentifiers: true, MinifySyntax: true, Target: api.ES2022, Charset: api.CharsetUTF8, Metafile: true, TsconfigRaw: "{}",
		Alias: map[string]string{"idb": "./third_party/idb/index.js", "jsqr": "./third_party/jsqr/jsQR.js", "uplot": "./third_party/uplot/uPlot.esm.js"}, LegalComments: api.LegalCommentsNone,
	}
	for _, x := range []struct {
		entry string
		split bool // into parts that are loaded when they are used
	}{{"page", true}, {"sw", false}} {
		o := options
		o.EntryPoints = []string{"islands/" + x.entry + ".ts"}
		o.Format, o.Splitting = api.FormatESModule, x.split
		if !x.split {
			o.Format = api.FormatIIFE
		}
		r := api.Build(o)
		if len(r.Errors) > 0 {
			return nil, fmt.Errorf("islands: %s", strings.Join(api.FormatMessages(r.Errors, api.FormatMessagesOptions{}), "\n"))
		}
		for _, f := range r.OutputFiles {
			name := filepath.Base(f.Path)
			out[name] = f.Contents
			if strings.HasPrefix(name, x.entry+"-") {
				names[x.entry+".js"] = name
			}
		}
	}
	list, err := json.MarshalIndent(names, "", "  ")
	if err != nil {
		return nil, err
	}
	out["built.json"] = append(list, '\n')
	return out, nil
}

// Carried is a package of others that is kept in the repository.
type Carried struct {
	Name      string            `json:"name"`
	Version   string            `json:"version"`
	Licence   string            `json:"licence"`
	Integrity string            `json:"integrity"` // of the package as npm has it
	Files     map[string]string `json:"files"`     // sha512 of each file kept, in the form that npm uses
}

// ReadCarried gives the packages that the manifest in a folder names.
func ReadCarried(folder string) ([]Carried, error) {
	data, err := os.ReadFile(filepath.Join(folder, "manifest.json"))
	if err != nil {
		return nil, err
	}
	var out []Carried
	return out, json.Unmarshal(data, &out)
}

// Integrity gives the hash of a file's content in the form that npm uses.
func Integrity(data []byte) string {
	sum := sha512.Sum512(data)
	return "sha512-" + base64.StdEncoding.EncodeToString(sum[:])
}
