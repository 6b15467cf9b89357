package ledger

import (
	"context"
	"time"
)

// SiteHead is a version of the site file without its text.
type SiteHead struct {
	ID    int64
	Saved time.Time
}

// Sites lists the versions of the site file, the newest first.
func (l *Ledger) Sites(ctx context.Context, most int) ([]SiteHead, error) {
	return many(ctx, l, "list the site files", func(row scanner) (h SiteHead, err error) {
		var saved int64
		err = row.Scan(&h.ID, &saved)
		h.Saved = fromMS(saved)
		return h, err
	}, `SELECT id, saved_ms FROM site_version ORDER BY id DESC LIMIT $1`, most)
}

// SiteVersion is one version of the site file, or a *NoneError.
func (l *Ledger) SiteVersion(ctx context.Context, id int64) (Site, error) {
	var s Site
	var saved int64
	err := l.db.QueryRowContext(ctx, `SELECT v.hash, t.text, v.saved_ms FROM site_version v JOIN site_text t ON t.hash = v.hash WHERE v.id = $1`, id).Scan(&s.Hash, &s.Text, &saved)
	if err != nil {
		return Site{}, l.missing("such site file", err)
	}
	s.Saved = fromMS(saved)
	return s, nil
}
