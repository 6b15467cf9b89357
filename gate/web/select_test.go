package web

import (
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// parse reads a page.
func parse(t *testing.T, body string) *html.Node {
	t.Helper()
	n, err := html.Parse(strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// find returns the elements a selector names: parts like "article.h1", "#jobs",
// "a[href=/]" or "*[style]", each inside the one before it.
func find(root *html.Node, selector string) []*html.Node {
	at := []*html.Node{root}
	for _, part := range strings.Fields(selector) {
		var next []*html.Node
		seen := map[*html.Node]bool{}
		for _, from := range at {
			for n := range from.Descendants() {
				if n.Type == html.ElementNode && !seen[n] && matches(n, part) {
					seen[n] = true
					next = append(next, n)
				}
			}
		}
		at = next
	}
	return at
}

func matches(n *html.Node, part string) bool {
	if head, rest, ok := strings.Cut(part, "["); ok {
		name, want, valued := strings.Cut(strings.TrimSuffix(rest, "]"), "=")
		got, has := attr(n, name)
		return has && (!valued || got == want) && matches(n, head)
	}
	if head, id, ok := strings.Cut(part, "#"); ok {
		got, _ := attr(n, "id")
		return got == id && matches(n, head)
	}
	names := strings.Split(part, ".")
	if names[0] != "" && names[0] != "*" && n.Data != names[0] {
		return false
	}
	class, _ := attr(n, "class")
	for _, c := range names[1:] {
		if !strings.Contains(" "+class+" ", " "+c+" ") {
			return false
		}
	}
	return true
}

func attr(n *html.Node, name string) (string, bool) {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val, true
		}
	}
	return "", false
}

// words is the text of a node with single spaces.
func words(n *html.Node) string {
	var b strings.Builder
	if n.Type == html.TextNode {
		b.WriteString(n.Data)
	}
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	text := strings.Join(strings.Fields(strings.ReplaceAll(b.String(), nbsp, " ")), " ")
	return strings.NewReplacer("ago ,", "ago,", "ago .", "ago.", "ago :", "ago:", "ago ;", "ago;").Replace(text) // an age is an element of its own
}

// The selector helper itself: it must be able to fail.
func TestFind(t *testing.T) {
	doc := parse(t, `<main id=m><p class="a b">one <b>two</b></p><p class=b style=x>three</p></main>`)
	for sel, want := range map[string]int{"p": 2, "p.a": 1, "p.b": 2, "#m p b": 1, "p[style]": 1, "p[style=y]": 0, "*.b": 2, "i": 0, "b p": 0} {
		if got := len(find(doc, sel)); got != want {
			t.Errorf("%q finds %d, want %d", sel, got, want)
		}
	}
	if got := words(find(doc, "p.a")[0]); got != "one two" {
		t.Errorf("words: %q", got)
	}
}
