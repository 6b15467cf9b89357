package night

import (
	"context"
	"runtime"
	"sync"
)

// Each does n things, shared out over the cores, and returns the error of the first of
// them that failed. What is done may not depend on the order. Nothing new is begun once
// the context has ended or something has failed; the context's own error is then
// returned where nothing else failed.
func Each(ctx context.Context, n int, do func(k int) error) error {
	errs := make([]error, n)
	next := make(chan int)
	broken := make(chan struct{})
	var once sync.Once
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Go(func() {
			for k := range next {
				if errs[k] = do(k); errs[k] != nil {
					once.Do(func() { close(broken) })
				}
			}
		})
	}
share:
	for k := range n {
		select {
		case next <- k:
		case <-broken:
			break share
		case <-ctx.Done():
			break share
		}
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}
