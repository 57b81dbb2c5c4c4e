package main

import (
	"fmt"
	"io"
	"os"
	"strings"

	"rsc.io/qr"
)

// terminalWidth is what a code may take; a wider one would be broken into lines and unreadable (chosen: the usual 80).
const terminalWidth = 80

// paintCode paints a text as a QR code of half blocks, two modules a character: black on white with four modules of white
// around, whatever the terminal's colours are, because a camera looks for exactly that.
func paintCode(w io.Writer, text string) error {
	code, err := qr.Encode(text, qr.L)
	if err != nil {
		return fmt.Errorf("making the code: %w", err)
	}
	const border = 4
	if code.Size+2*border > terminalWidth {
		return fmt.Errorf("making the code: %d modules are wider than a terminal", code.Size)
	}
	const on, off = "\x1b[38;5;16;48;5;231m", "\x1b[0m"
	blocks := map[[2]bool]string{{false, false}: " ", {true, false}: "▀", {false, true}: "▄", {true, true}: "█"}
	var out strings.Builder
	for y := -border; y < code.Size+border; y += 2 {
		out.WriteString(on)
		for x := -border; x < code.Size+border; x++ {
			out.WriteString(blocks[[2]bool{code.Black(x, y), code.Black(x, y+1)}])
		}
		out.WriteString(off + "\n")
	}
	_, err = io.WriteString(w, out.String())
	return err
}

// terminal tells whether w is a screen with a person in front of it.
func terminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
