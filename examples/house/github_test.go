package house_test

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gapbook.example/specs"
)

// pinned is an action named by the hash of its commit.
var pinned = regexp.MustCompile(`^[\w.-]+/[\w./-]+@[0-9a-f]{40}( #.*)?$`)

// TestWorkflows wants workflows that can do no harm with a stranger's change:
// read-only tokens, no secrets, no run in the name of the repository, and no
// action that somebody else may change.
func TestWorkflows(t *testing.T) {
	list, err := filepath.Glob(filepath.Join(root, ".github", "workflows", "*.yml"))
	if err != nil || len(list) == 0 {
		t.Fatalf("%d workflows, error %v", len(list), err)
	}
	calls := false
	for _, name := range list {
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, problem := range workflowProblems(string(src)) {
			t.Errorf("%s: %s", filepath.Base(name), problem)
		}
		calls = calls || strings.Contains(string(src), "run: .ci/run\n")
	}
	if !calls {
		t.Error("no workflow calls .ci/run")
	}
}

func workflowProblems(src string) []string {
	var list []string
	if !strings.Contains(src, "\npermissions:\n  contents: read\n") {
		list = append(list, "the token is not read-only")
	}
	for _, bad := range []string{"pull_request_target", "workflow_run", "secrets.", ": write", "write-all", "self-hosted"} {
		if strings.Contains(src, bad) {
			list = append(list, "it holds "+bad)
		}
	}
	script := false
	for line := range strings.Lines(src) {
		line = strings.TrimSpace(line)
		if uses, ok := strings.CutPrefix(strings.TrimPrefix(line, "- "), "uses: "); ok && !pinned.MatchString(uses) {
			list = append(list, "the action is not pinned by hash: "+uses)
		}
		script = strings.HasPrefix(line, "run:") || script && !strings.HasPrefix(line, "- ")
		if script && strings.Contains(line, "${{") {
			list = append(list, "a script holds what a stranger wrote: "+line)
		}
	}
	return list
}

func TestWorkflowProblemsAreSeen(t *testing.T) {
	good := "on: pull_request\npermissions:\n  contents: read\njobs:\n  a:\n    steps:\n      - uses: some/action@0123456789012345678901234567890123456789 # v1\n      - env:\n          BODY: ${{ github.event.x }}\n        run: echo\n"
	if p := workflowProblems(good); len(p) > 0 {
		t.Errorf("%q", p)
	}
	for _, edit := range [][2]string{
		{"contents: read", "contents: write"}, {"permissions:\n", "permission:\n"}, {"on: pull_request", "on: pull_request_target"},
		{"0123456789012345678901234567890123456789 # v1", "v1"}, {"echo", "echo ${{ github.event.x }}"}, {"echo", "echo ${{ secrets.KEY }}"},
	} {
		if len(workflowProblems(strings.Replace(good, edit[0], edit[1], 1))) == 0 {
			t.Errorf("%q passes", edit[1])
		}
	}
}

// TestIssueForms wants every question of an issue form answered: required, and
// with nothing filled in that could be sent as it is.
func TestIssueForms(t *testing.T) {
	list, err := filepath.Glob(filepath.Join(root, ".github", "ISSUE_TEMPLATE", "*.yml"))
	if err != nil || len(list) < 3 {
		t.Fatalf("%d forms, error %v", len(list), err)
	}
	for _, name := range list {
		src, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		text := string(src)
		if filepath.Base(name) == "config.yml" {
			if !strings.Contains(text, "blank_issues_enabled: false") {
				t.Error("blank issues are allowed")
			}
			continue
		}
		ids := make(map[string]bool)
		for i, part := range strings.Split(text, "\n  - type: ")[1:] {
			kind, _, _ := strings.Cut(part, "\n")
			if !slices.Contains([]string{"input", "textarea", "dropdown", "checkboxes"}, kind) {
				t.Errorf("%s: question %d is of the kind %q, which forms do not have or which asks nothing", filepath.Base(name), i+1, kind)
			}
			id := regexp.MustCompile(`\n    id: ([a-z]+)\n`).FindStringSubmatch(part)
			if id == nil || ids[id[1]] {
				t.Errorf("%s: question %d has no id of its own", filepath.Base(name), i+1)
			} else {
				ids[id[1]] = true
			}
			if n := strings.Count(part, "\n        - label: "); kind == "checkboxes" && (n == 0 || n != strings.Count(part, "\n          required: true")) {
				t.Errorf("%s: a box of question %d need not be ticked", filepath.Base(name), i+1)
			}
			if strings.Contains(part, "\n      default:") {
				t.Errorf("%s: question %d has an answer chosen", filepath.Base(name), i+1)
			}
			if id != nil && id[1] == "grade" {
				for _, m := range regexp.MustCompile(`\n        - ([a-z-]+)`).FindAllStringSubmatch(part, -1) {
					if _, ok := specs.Grades()[m[1]]; !ok {
						t.Errorf("%s: %q is no grade", filepath.Base(name), m[1])
					}
				}
			}
			if id != nil && id[1] == "program" {
				for _, m := range regexp.MustCompile(`\n        - ([a-z]+)\n`).FindAllStringSubmatch(part, -1) {
					if _, err := os.Stat(filepath.Join(root, "examples", m[1], "main.go")); err != nil {
						t.Errorf("%s: there is no program %q", filepath.Base(name), m[1])
					}
				}
			}
			if !strings.Contains(part, "required: true") {
				t.Errorf("%s: question %d need not be answered", filepath.Base(name), i+1)
			}
			if strings.Contains(part, "\n      value:") || strings.Contains(part, "\n      placeholder:") {
				t.Errorf("%s: question %d has words filled in", filepath.Base(name), i+1)
			}
		}
	}
}

// TestRequestForm runs the checker of pull requests over the form as it is and
// filled in.
func TestRequestForm(t *testing.T) {
	if _, err := exec.LookPath("bash"); err != nil {
		t.Skip("no bash here; the checker runs on the forge")
	}
	check := func(body string) (string, bool) {
		cmd := exec.Command("bash", filepath.Join(root, ".ci", "request"))
		cmd.Stdin = strings.NewReader(body)
		out, err := cmd.CombinedOutput()
		return string(out), err == nil
	}
	form := text(t, ".github/PULL_REQUEST_TEMPLATE.md")
	filled := regexp.MustCompile(`<[^!][^>]*>`).ReplaceAllString(form, "a manual, page 12")
	ticked := strings.ReplaceAll(filled, "- [ ]", "- [x]")
	if out, ok := check(ticked); !ok {
		t.Errorf("a filled form is refused: %s", out)
	}
	for name, body := range map[string]string{"the form itself": form, "boxes left": filled, "angle brackets left": strings.ReplaceAll(form, "- [ ]", "- [x]"), "nothing": "", "a part gone": strings.Replace(ticked, "## Evidence", "", 1)} {
		if out, ok := check(body); ok || out == "" {
			t.Errorf("%s passes: %s", name, out)
		}
	}
}

// TestOwners wants teams as owners, no person, and every path there.
func TestOwners(t *testing.T) {
	for line := range strings.Lines(text(t, ".github/CODEOWNERS")) {
		f := strings.Fields(line)
		if len(f) == 0 || f[0] == "#" {
			continue
		}
		if len(f) != 2 || !regexp.MustCompile(`^@[a-z-]+/[a-z-]+$`).MatchString(f[1]) {
			t.Errorf("not a path and a team: %s", line)
		}
		if strings.HasPrefix(f[0], "/") && !strings.Contains(f[0], "*") {
			if _, err := os.Stat(filepath.Join(root, filepath.FromSlash(f[0]))); err != nil {
				t.Errorf("CODEOWNERS names %s, which is not there", f[0])
			}
		}
	}
}

// TestSnippets reads what the editor's snippets leave behind when nothing is
// typed over.
func TestSnippets(t *testing.T) {
	var snippets map[string]struct {
		Scope, Prefix, Description string
		Body                       []string
	}
	if err := json.Unmarshal([]byte(text(t, ".vscode/gapbook.code-snippets")), &snippets); err != nil {
		t.Fatal(err)
	}
	expand := func(name string) string {
		s := snippets[name]
		if s.Scope != "toml" || s.Prefix == "" || s.Description == "" {
			t.Errorf("the snippet %s lacks something: %+v", name, s)
		}
		return regexp.MustCompile(`\$\{\d+:([^}]*)\}`).ReplaceAllString(strings.Join(s.Body, "\n"), "$1")
	}
	dir := t.TempDir()
	write(t, filepath.Join(dir, "engines", "orchard-pump-6.toml"), strings.TrimRight(expand("engine")+"\n"+expand("figure")+"\n"+expand("range"), "\n")+"\n")
	write(t, filepath.Join(dir, "sources", "orchard-manual-1958.toml"), expand("source"))
	if len(snippets) != 4 {
		t.Errorf("%d snippets, of which 4 are read here", len(snippets))
	}
	if r := command(t, root, program(t, "lint"), dir); r.code != 0 {
		t.Errorf("lint says of the snippets:\n%s", r.both)
	}
	var recommended struct{ Recommendations []string }
	if err := json.Unmarshal([]byte(text(t, ".vscode/extensions.json")), &recommended); err != nil || len(recommended.Recommendations) == 0 {
		t.Errorf("no editors' helpers are recommended: %v", err)
	}
	for _, kind := range specs.SchemaKinds() {
		if _, err := os.Stat(filepath.Join(root, "specs", "schema", kind+".json")); err != nil {
			t.Error(err)
		}
	}
}
