package web

import (
	"fmt"

	"wormyard/internal/label"
)

// Code is a QR code, drawn.
type Code struct{ ViewBox, Path, Label, Text string }

// qrCode draws a text as one path of dark runs, white border and all.
func qrCode(text, title string) (*Code, error) {
	c, err := label.Encode(text)
	if err != nil {
		return nil, err
	}
	return &Code{fmt.Sprintf("0 0 %d %d", c.Side(), c.Side()), c.Path(), title, text}, nil
}
