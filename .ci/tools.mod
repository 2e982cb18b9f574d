module gapbook.example/tools

go 1.26.0

tool (
	github.com/toml-lang/toml-test/v2/cmd/toml-test
	honnef.co/go/tools/cmd/staticcheck
)

require (
	github.com/BurntSushi/toml v1.6.0 // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	github.com/toml-lang/toml-test/v2 v2.2.0 // indirect
	golang.org/x/exp/typeparams v0.0.0-20231108232855-2478ac86f678 // indirect
	golang.org/x/mod v0.41.0 // indirect
	golang.org/x/sync v0.23.0 // indirect
	golang.org/x/tools v0.51.0 // indirect
	honnef.co/go/tools v0.8.2 // indirect
	zgo.at/jfmt v0.0.0-20250703165133-d1b6c356823b // indirect
	zgo.at/runewidth v0.1.0 // indirect
	zgo.at/termtext v1.5.0 // indirect
	zgo.at/zli v0.0.0-20251226224229-7bb9a5cf3265 // indirect
	zgo.at/zstd v0.0.0-20240531161000-9840c0c39ff5 // indirect
)
