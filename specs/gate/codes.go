package gate

// Caps of the gate. A document past one of them is refused.
const (
	// MaxBytes is the greatest size of a document, in bytes: 256 KiB.
	MaxBytes = 256 << 10
	// MaxKeys is the greatest number of keys, headers and list entries in a
	// document, counted together.
	MaxKeys = 4096
	// MaxParts is the greatest number of parts in the full path of a key, the
	// table header counted in: in [a.b] the key c.d has the path a.b.c.d of
	// four parts.
	MaxParts = 8
	// MaxDepth is how deep lists and inline tables may be nested in one value.
	MaxDepth = 8
	// MaxKeyBytes is the greatest length of one part of a key, in bytes. It is
	// a cap of its own because the library spells out the full path of every
	// key: one long table name over many short keys would need hundreds of
	// megabytes.
	MaxKeyBytes = 128
	// MaxNumberBytes is the greatest length of a number, date or time as
	// written, in bytes.
	MaxNumberBytes = 128
	// MaxProblems is how many problems of one document are listed; the last
	// entry of a longer list has [CodeMore].
	MaxProblems = 100
)

// Codes of problems. They are stable: programs may rely on them, while the
// wording of messages may change at any time.
const (
	// CodeNoFile: there is no file of that name.
	CodeNoFile = "no-file"
	// CodeFolder: the name is that of a folder, not of a file.
	CodeFolder = "folder"
	// CodeBadName: the name cannot be the name of a file in this place.
	CodeBadName = "bad-name"
	// CodeUnreadable: the file is there but reading it failed.
	CodeUnreadable = "unreadable"
	// CodeTooBig: the document is larger than MaxBytes.
	CodeTooBig = "too-big"

	// CodeNotUTF8: a byte that is not part of UTF-8 text.
	CodeNotUTF8 = "not-utf8"
	// CodeBOM: a byte order mark at the start, or text in UTF-16.
	CodeBOM = "bom"
	// CodeNUL: a NUL, as a character or as an escape.
	CodeNUL = "nul"
	// CodeControl: a control character, as a character or as an escape; also a
	// CR that no LF follows.
	CodeControl = "control-character"
	// CodeBidi: a character that changes the reading direction.
	CodeBidi = "bidi"
	// CodeHidden: a character that cannot be seen: zero width, soft hyphen,
	// line separator, private use, filler, variation selector.
	CodeHidden = "hidden-character"

	// CodeSyntax: the text is not TOML here, and no other code says it better.
	CodeSyntax = "syntax"
	// CodeUnclosed: a string, list, inline table or header that is opened and
	// not closed; what a document cut short usually shows.
	CodeUnclosed = "unclosed"
	// CodeNoValue: a key without "=", or without a value behind it.
	CodeNoValue = "no-value"
	// CodeBadValue: a value that is none of the kinds TOML knows, most often
	// text without quotes.
	CodeBadValue = "bad-value"
	// CodeAfterValue: something stands behind a value that was complete, most
	// often a unit behind a number without quotes.
	CodeAfterValue = "after-value"
	// CodeBadNumber: a number that is written wrongly or too large.
	CodeBadNumber = "bad-number"
	// CodeBadDate: a date or time that is written wrongly or does not exist.
	CodeBadDate = "bad-date"
	// CodeBadEscape: a backslash in a string with something behind it that
	// TOML does not know.
	CodeBadEscape = "bad-escape"
	// CodeTOML11: a form that only TOML 1.1 has.
	CodeTOML11 = "toml-1.1"
	// CodeArrayOfTables: a header in double brackets.
	CodeArrayOfTables = "array-of-tables"

	// CodeBadKey: a key, or a part of one, that is missing or has a character
	// that is not allowed.
	CodeBadKey = "bad-key"
	// CodeQuotedKey: a key in quotes.
	CodeQuotedKey = "quoted-key"
	// CodeDuplicate: a key or table that was set before.
	CodeDuplicate = "duplicate-key"
	// CodeConflict: a key that would change a value or table which was closed
	// before.
	CodeConflict = "key-conflict"

	// CodeLongKey: a part of a key is longer than MaxKeyBytes.
	CodeLongKey = "long-key"
	// CodeTooManyParts: a key has more than MaxParts parts.
	CodeTooManyParts = "too-many-parts"
	// CodeTooDeep: a value is nested deeper than MaxDepth.
	CodeTooDeep = "too-deep"
	// CodeTooManyKeys: the document has more than MaxKeys keys and list entries.
	CodeTooManyKeys = "too-many-keys"

	// CodeRefused: the scanner accepted the document, the library did not. The
	// message is the library's.
	CodeRefused = "refused"
	// CodeInternal: the scanner and the library read the document differently.
	// That is a defect of this package and worth a report.
	CodeInternal = "internal"
	// CodeMore: there were more problems than are listed.
	CodeMore = "more-problems"
)
