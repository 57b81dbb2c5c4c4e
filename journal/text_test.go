package journal_test

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fairmeasure/journal"
	"fairmeasure/journal/unit"
)

type spelt int

func (s spelt) String() string { return "spelt " + strconv.Itoa(int(s)) }

// TestFill: what a refusal says is what fmt would say.
func TestFill(t *testing.T) {
	for _, c := range []struct {
		format string
		args   []any
	}{
		{"plain", nil}, {"40 %% vol", nil}, {"100%%", nil}, {"%s", []any{"x"}}, {"a %s b %d c", []any{"x", 5}},
		{"%d", []any{int64(-7)}}, {"%d", []any{unit.Volume(45_000)}}, {"%d", []any{uint64(1 << 63)}}, {"%s", []any{journal.Top}},
		{"%q and %q", []any{"a\"b\n", journal.ID("é")}}, {"%g ml, %g", []any{22.5, 1e21}}, {"%g", []any{-0.1}}, {"%.1f %.2f", []any{0.25, 3.999}},
		{"%s", []any{errors.New("why")}}, {"%s", []any{spelt(3)}}, {"“%s”%%", []any{"½"}},
	} {
		require.Equal(t, fmt.Sprintf(c.format, c.args...), journal.Refuse("", "", c.format, c.args...).Text, c.format)
	}
	require.Equal(t, "no value for , and a stray ", journal.Refuse("", "", "no value for %s, and a stray %").Text, "a broken call still says something")
}

// TestRefusalsUseKnownVerbs reads every call of Refuse in the project: its verbs are among those fill knows, and as many
// as its values. (The compiler's own check of formats does not see through fill.)
func TestRefusalsUseKnownVerbs(t *testing.T) {
	calls := 0
	for _, root := range []string{".", "../sync", "../cmd"} {
		err := fs.WalkDir(os.DirFS(root), ".", func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files := token.NewFileSet()
			file, err := parser.ParseFile(files, root+"/"+path, nil, 0)
			require.NoError(t, err)
			ast.Inspect(file, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok || len(call.Args) < 3 || call.Ellipsis.IsValid() {
					return true
				}
				name := ""
				switch f := call.Fun.(type) {
				case *ast.Ident:
					name = f.Name
				case *ast.SelectorExpr:
					name = f.Sel.Name
				}
				format, ok := call.Args[2].(*ast.BasicLit)
				if name != "Refuse" || !ok {
					return true
				}
				calls++
				text, err := strconv.Unquote(format.Value)
				require.NoError(t, err)
				verbs := 0
				for rest := text; ; {
					_, after, more := strings.Cut(rest, "%")
					if !more {
						break
					}
					require.NotEmpty(t, after, "%s: %s", files.Position(call.Pos()), text)
					rest = after[1:]
					switch {
					case after[0] == '%':
					case strings.IndexByte("sdqg", after[0]) >= 0:
						verbs++
					case len(after) > 2 && after[0] == '.' && after[1] >= '1' && after[1] <= '9' && after[2] == 'f':
						verbs++
						rest = after[3:]
					default:
						t.Errorf("%s: an unknown verb in %q", files.Position(call.Pos()), text)
					}
				}
				if verbs != len(call.Args)-3 {
					t.Errorf("%s: %d verbs and %d values in %q", files.Position(call.Pos()), verbs, len(call.Args)-3, text)
				}
				return true
			})
			return nil
		})
		require.NoError(t, err)
	}
	require.Greater(t, calls, 80)
}
