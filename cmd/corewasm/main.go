//go:build js && wasm

// Command corewasm is the core for the browser: the journal, its merge and every calculation on it, compiled to
// WebAssembly. It puts its functions on globalThis.fairmeasure, each taking and giving texts and numbers, calls
// globalThis.fairmeasureReady() and waits for calls. It has no disk, no network and no clock of its own.
package main

import "syscall/js"

func main() {
	c := &core{random: random}
	text := func(args []js.Value, i int) string {
		if i < len(args) && args[i].Type() == js.TypeString {
			return args[i].String()
		}
		return ""
	}
	number := func(args []js.Value, i int) int64 {
		if i < len(args) && args[i].Type() == js.TypeNumber {
			return int64(args[i].Float())
		}
		return 0
	}
	exports := map[string]func(args []js.Value) string{
		"start": func(a []js.Value) string { return c.start(text(a, 0)) },
		"load":  func(a []js.Value) string { return c.load(text(a, 0), text(a, 1)) },
		"act":   func(a []js.Value) string { return c.act(number(a, 0), int(number(a, 1)), text(a, 2)) },
		"settle": func(a []js.Value) string {
			return c.settle(number(a, 0), text(a, 1))
		},
		"request": func(a []js.Value) string { return c.request(number(a, 0), int(number(a, 1))) },
		"answer": func(a []js.Value) string {
			return c.answer(number(a, 0), number(a, 1), int(number(a, 2)), text(a, 3))
		},
		"read":     func(a []js.Value) string { return c.read(number(a, 0), int(number(a, 1)), text(a, 2)) },
		"exported": func(a []js.Value) string { return c.exported(number(a, 0), number(a, 1)) },
		"brought": func(a []js.Value) string {
			return c.brought(number(a, 0), int(number(a, 1)), number(a, 2), text(a, 3))
		},
		"merged": func(a []js.Value) string { return c.merged(text(a, 0)) },
	}
	object := map[string]any{}
	for name, call := range exports {
		object[name] = js.FuncOf(func(_ js.Value, args []js.Value) any { return call(args) })
	}
	js.Global().Set("fairmeasure", object)
	js.Global().Call("fairmeasureReady")
	select {}
}

// random fills b from the browser's source of randomness, without the library that would do the same with much more code.
func random(b []byte) {
	array := js.Global().Get("Uint8Array").New(len(b))
	js.Global().Get("crypto").Call("getRandomValues", array)
	js.CopyBytesToGo(b, array)
}
