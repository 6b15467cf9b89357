package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"

	"example.org/coldnight/gate/web"
)

// SiteText is the site file as it stands on the disk.
func (s *server) SiteText(context.Context) ([]byte, string, error) {
	text, err := os.ReadFile(s.site)
	if err != nil {
		return nil, "", unreadable(s.site, err)
	}
	return text, filepath.Base(s.site), nil
}

// PutSiteText writes the site file in place of was, when it is right. The version before
// goes into the ledger first, should nobody have seen it yet, and the new one before
// anybody is told that it is written.
func (s *server) PutSiteText(ctx context.Context, text, was []byte) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	now, err := os.ReadFile(s.site)
	if err != nil {
		return unreadable(s.site, err)
	}
	if !bytes.Equal(now, was) {
		return web.ErrSiteChanged
	}
	if _, err := readSite(filepath.Base(s.site), text); err != nil {
		return err
	}
	if bytes.Equal(text, was) {
		return nil
	}
	for _, version := range [][]byte{was, text} {
		if _, err := s.ledger.PutSite(ctx, string(version), s.now()); err != nil {
			return err
		}
	}
	return replaceFile(s.site, text) // the loop takes it up at its next look
}

// SitePast lists the versions of the site file in the ledger.
func (s *server) SitePast(ctx context.Context, most int) ([]web.SiteVersion, error) {
	heads, err := s.ledger.Sites(ctx, most)
	var out []web.SiteVersion
	for _, h := range heads {
		out = append(out, web.SiteVersion{ID: h.ID, Kept: h.Saved})
	}
	return out, err
}

// SiteAt is the text of a version.
func (s *server) SiteAt(ctx context.Context, id int64) ([]byte, error) {
	v, err := s.ledger.SiteVersion(ctx, id)
	return []byte(v.Text), err
}
