package specs

import (
	"io/fs"
	"strconv"
	"strings"
)

// settledFile lists figures that the rule about siblings once let pass. Who adds
// an engine moves the middle and the spread of its quantities a little, and a
// figure that has stood in the book for years must not turn wrong by that: its
// page has not changed, and the newcomer has never seen it. Lines are an engine,
// a quantity and values in the SI unit; go generate adds what passes and takes
// out what is gone.
const settledFile = "frozen/settled.txt"

// settled lists the figures that were let pass, as settledKey writes them.
func (b *Book) settled() map[string]bool {
	b.settledOnce.Do(func() {
		b.settledList = make(map[string]bool)
		for _, l := range b.layers {
			text, err := fs.ReadFile(l.fsys, settledFile)
			if err != nil {
				continue // a folder of one's own has none
			}
			for line := range strings.Lines(string(text)) {
				words := strings.Fields(line)
				if len(words) < 3 || words[0] == "#" {
					continue
				}
				for _, x := range words[2:] {
					b.settledList[words[0]+" "+words[1]+" "+x] = true
				}
			}
		}
	})
	return b.settledList
}

func settledKey(engine string, quantity Key, x float64) string {
	return engine + " " + string(quantity) + " " + strconv.FormatFloat(x, 'g', -1, 64)
}
