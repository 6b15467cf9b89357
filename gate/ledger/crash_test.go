package ledger

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// childEnv names the ledger that this test binary, started again as a child, is to write.
const childEnv = "COLDNIGHT_LEDGER_CHILD"

// TestWriterChild is not a test of its own: it is the process that TestKilledWhileWriting kills. It reports
// a plan as kept on standard output only after PutPlan and PutTick returned, and each write on the way.
func TestWriterChild(t *testing.T) {
	path := os.Getenv(childEnv)
	if path == "" {
		t.Skip("runs only as the child of TestKilledWhileWriting")
	}
	ctx := context.Background()
	l, err := Open(ctx, path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; ; i++ {
		site, err := l.PutSite(ctx, fmt.Sprintf("version %d of process %d", i, os.Getpid()), at(15))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println("wrote the site")
		// Bodies of different sizes, so that a kill finds one page or many half written.
		body := fmt.Sprintf(`{"site":%q,"padding":%q}`, site.Hash, strings.Repeat("x", i*i*37%20000))
		id, err := l.PutPlan(ctx, Plan{PlanHead{Issued: at(15), Now: at(15), SiteHash: site.Hash}, []byte(body)})
		if err != nil {
			t.Fatal(err)
		}
		fmt.Println("wrote the plan")
		if _, _, err := l.PutTick(ctx, Tick{Night: "2031-01-14", Job: fmt.Sprint(id), Done: at(15)}); err != nil {
			t.Fatal(err)
		}
		fmt.Printf("kept %d %s\n", id, site.Hash)
	}
}

// The process may be killed at any moment; what it had acknowledged must be there afterwards. A kill leaves
// the operating system's own buffers alone: for power cuts see TestCutWriteAhead and synchronous=full.
func TestKilledWhileWriting(t *testing.T) {
	if testing.Short() {
		t.Skip("starts twenty processes")
	}
	const rounds = 20
	random := rand.New(rand.NewPCG(7, 11)) // fixed: the same kills in the same rounds, as far as machines repeat
	path := filepath.Join(t.TempDir(), "nursery.db")
	kept := map[int64]string{} // acknowledged plan -> its site file
	for round := range rounds {
		for id, hash := range writeUntilKilled(t, path, 1+random.IntN(25), random.IntN(24), random.IntN(3000)) {
			kept[id] = hash
		}
		verifyKept(t, round, path, kept)
	}
	if len(kept) < rounds {
		t.Errorf("only %d commits acknowledged in %d rounds: the test tested nothing", len(kept), rounds)
	}
	t.Logf("%d rounds, %d acknowledged commits, none lost", rounds, len(kept))
}

// writeUntilKilled starts a writer, waits for enough acknowledgements, reads some more of its lines, looks at its
// file some times, and kills it. Lines come after each write and the writer waits for nobody, so the kill falls into
// any of the writes, and the looks spread it over that write. It returns all acknowledgements, those still in the pipe included.
func writeUntilKilled(t *testing.T, path string, enough, more, looks int) map[int64]string {
	t.Helper()
	child := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^TestWriterChild$")
	child.Env = append(os.Environ(), childEnv+"="+path)
	var complaint strings.Builder
	child.Stderr = &complaint
	pipe, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	acknowledged := map[int64]string{}
	lines := bufio.NewReader(pipe)
	for {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			break // a line cut short by the kill was not acknowledged
		}
		if err != nil {
			t.Fatal(err)
		}
		var id int64
		var hash string
		if _, err := fmt.Sscanf(line, "kept %d %s", &id, &hash); err == nil {
			acknowledged[id] = hash
		} else if !strings.HasPrefix(line, "wrote ") {
			t.Fatalf("the writer failed: %s%s", line, complaint.String())
		}
		if len(acknowledged) < enough {
			continue
		}
		if more--; more == -1 {
			for range looks {
				if _, err := os.Stat(path); err != nil {
					t.Fatal(err)
				}
			}
			if err := child.Process.Kill(); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := child.Wait(); err == nil {
		t.Fatal("the writer ended by itself instead of being killed")
	}
	if len(acknowledged) < enough {
		t.Fatalf("%d acknowledgements before the end, want at least %d: %s", len(acknowledged), enough, complaint.String())
	}
	return acknowledged
}

func verifyKept(t *testing.T, round int, path string, kept map[int64]string) {
	t.Helper()
	l, err := Open(t.Context(), path)
	if err != nil {
		t.Fatalf("round %d: %v", round, err)
	}
	for id, hash := range kept {
		p, err := l.Plan(t.Context(), id)
		if err != nil || p.SiteHash != hash || !strings.Contains(string(p.JSON), hash) {
			t.Errorf("round %d: acknowledged plan %d: %+v, %v", round, id, p.PlanHead, err)
		}
	}
	ticks, err := l.Ticks(t.Context(), "")
	if err != nil {
		t.Fatalf("round %d: %v", round, err)
	}
	ticked := map[string]bool{}
	for _, k := range ticks {
		ticked[k.Job] = true
	}
	for id := range kept {
		if !ticked[fmt.Sprint(id)] {
			t.Errorf("round %d: the acknowledged tick of job %d is gone", round, id)
		}
	}
	plans := count(t, l.db, "plan")
	if extra := plans - len(kept); extra < 0 || extra > round+1 {
		t.Errorf("round %d: %d plans for %d acknowledged ones; each round may leave one that was committed but not yet reported", round, plans, len(kept))
	}
	if err := l.Close(); err != nil {
		t.Fatalf("round %d: %v", round, err)
	}
	if _, err := Check(t.Context(), path); err != nil {
		t.Fatalf("round %d: %v", round, err)
	}
}

// A power cut may leave any first part of the write-ahead file on the disk. Cut anywhere, the ledger opens,
// is whole, and holds the plans up to some moment without a hole.
func TestCutWriteAhead(t *testing.T) {
	l := newLedger(t)
	site := putSite(t, l, "# one bed\n", at(15))
	const plans = 40
	for i := range plans {
		body := fmt.Sprintf(`{"n":%d,"padding":%q}`, i, strings.Repeat("x", i*i*37%9000))
		if _, err := l.PutPlan(t.Context(), Plan{PlanHead{Issued: at(15), Now: at(15), SiteHash: site.Hash}, []byte(body)}); err != nil {
			t.Fatal(err)
		}
	}
	main, err := os.ReadFile(l.Path())
	if err != nil {
		t.Fatal(err)
	}
	ahead, err := os.ReadFile(l.Path() + "-wal")
	if err != nil || len(ahead) == 0 {
		t.Fatalf("no write-ahead file to cut: %d bytes, %v", len(ahead), err)
	}
	random := rand.New(rand.NewPCG(3, 5))
	seen := map[int]bool{}
	for round := range 30 {
		keep := random.IntN(len(ahead) + 1)
		path := filepath.Join(t.TempDir(), "nursery.db")
		for name, b := range map[string][]byte{path: main, path + "-wal": ahead[:keep]} {
			if err := os.WriteFile(name, b, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		cut, err := Open(t.Context(), path)
		if err != nil {
			t.Fatalf("round %d, %d of %d bytes: %v", round, keep, len(ahead), err)
		}
		var n, highest int
		if err := cut.db.QueryRowContext(t.Context(), `SELECT count(*), coalesce(max(id), 0) FROM plan`).Scan(&n, &highest); err != nil || n != highest {
			t.Errorf("round %d: %d plans, the highest is %d, %v", round, n, highest, err)
		}
		if err := cut.Close(); err != nil {
			t.Fatal(err)
		}
		if _, err := Check(t.Context(), path); err != nil {
			t.Errorf("round %d: %v", round, err)
		}
		seen[n] = true
	}
	if len(seen) < 5 {
		t.Errorf("the cuts left only %d different states: the test tested little", len(seen))
	}
}
