// Package glue reads the JavaScript that comes with the solver's WebAssembly
// module and finds under which shortened names the module exports and imports
// its functions. The names are chosen by a minifier and move with every
// release, so they are derived, never typed.
package glue

import (
	"fmt"
	"regexp"
)

// Names tells what is called what inside the module.
type Names struct {
	Memory       string            // exported memory
	Constructors string            // exported function to call once before all others
	Exports      map[string]string // "_Highs_run" -> shortened name
	Imports      map[string]string // "_fd_write" -> shortened name
}

var (
	exports      = regexp.MustCompile(`(_[A-Za-z_0-9]+)=(?:Module\["[^"]*"\]=)?wasmExports\["([A-Za-z]+)"\]`)
	imports      = regexp.MustCompile(`wasmImports=\{([^}]*)\}`)
	pair         = regexp.MustCompile(`(\w+):(\w+)`)
	memory       = regexp.MustCompile(`wasmMemory=wasmExports\["(\w+)"\]`)
	constructors = regexp.MustCompile(`function initRuntime\(\)\{[^}]*?wasmExports\["(\w+)"\]\(\)`)
)

// Read finds the names. It returns an error that says which of them could not
// be found.
func Read(js []byte) (Names, error) {
	n := Names{Exports: map[string]string{}, Imports: map[string]string{}}
	for _, m := range exports.FindAllSubmatch(js, -1) {
		n.Exports[string(m[1])] = string(m[2])
	}
	block := imports.FindSubmatch(js)
	if block == nil {
		return n, fmt.Errorf("the glue has no table of imports")
	}
	for _, m := range pair.FindAllSubmatch(block[1], -1) {
		n.Imports[string(m[2])] = string(m[1])
	}
	if m := memory.FindSubmatch(js); m != nil {
		n.Memory = string(m[1])
	}
	if m := constructors.FindSubmatch(js); m != nil {
		n.Constructors = string(m[1])
	}
	if n.Memory == "" || n.Constructors == "" || len(n.Exports) == 0 || len(n.Imports) == 0 {
		return n, fmt.Errorf("the glue names memory %q, constructors %q, %d exports and %d imports; all four are needed",
			n.Memory, n.Constructors, len(n.Exports), len(n.Imports))
	}
	return n, nil
}
