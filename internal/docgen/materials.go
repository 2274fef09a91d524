package main

// materialTable gives the library of feedstocks as a table.
func materialTable(used map[string]bool) (string, error) {
	return "", nil
}
