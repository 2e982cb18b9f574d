package specs

import (
	"fmt"
	"net/url"
	"regexp"
	"strings"

	"gapbook.example/specs/gate"
)

// ruleLink keeps addresses plain.
//
// A link is an https address that anybody can open: no name and password in
// it, no port, no bare number for a host, nothing that tells a site who sent
// the reader. Elsewhere in a table an address has no place: a document is cited
// by its source.
//
// Refused: link = "https://example.org/page?utm_source=mail"; a note with
// "www.example.org".
var ruleLink = lintRule{code: "link", table: func(l *linter, t *linted) {
	eachText(t.doc.Root, func(n *gate.Node, key, s string) {
		message := ""
		switch {
		case key == "link":
			message = plainLink(s)
		case strings.Contains(s, ":"), strings.Contains(s, "ww"), strings.Contains(s, "WW"): // cheaper than the pattern
			if found := address.FindString(s); found != "" {
				message = fmt.Sprintf("%s holds the address %q", key, found)
			}
		}
		if message != "" {
			l.problems = append(l.problems, n.ValueProblem(t.file, l.rule.code, message, "an address stands under link, in full and bare: https://host/path"))
		}
	})
}}

var (
	address  = regexp.MustCompile(`(?i)\b(?:[a-z][a-z0-9+.-]*://|www\.|mailto:|javascript:|data:[a-z]+/)[^ ]*`)
	tracking = regexp.MustCompile(`(?i)^(utm_.*|fbclid|gclid|dclid|msclkid|mc_eid|igshid|ref|ref_src|affiliate|aff_id|tag)$`)
	bareHost = regexp.MustCompile(`^[0-9.]+$|:`)
)

// plainLink says what is wrong with a link, or nothing.
func plainLink(link string) string {
	u, err := url.Parse(link)
	switch {
	case err != nil || u.Scheme != "https" || u.Host == "":
		return fmt.Sprintf("%q is no https address", link)
	case u.User != nil:
		return "the link carries a name"
	case u.Port() != "" || bareHost.MatchString(u.Hostname()) || !strings.Contains(u.Hostname(), "."):
		return fmt.Sprintf("%q is no public host", u.Host)
	}
	for _, r := range u.Host {
		if r > '~' {
			return fmt.Sprintf("the host %q is not written in plain letters", u.Host)
		}
	}
	if strings.HasPrefix(u.Hostname(), "xn--") || strings.Contains(u.Hostname(), ".xn--") {
		return fmt.Sprintf("the host %q hides letters of another script", u.Host)
	}
	for key := range u.Query() {
		if tracking.MatchString(key) {
			return fmt.Sprintf("the link carries %q, which tells the site who sent the reader", key)
		}
	}
	return ""
}
