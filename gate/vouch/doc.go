// Package vouch is a certificate authority for one nursery, so that its phones can reach
// the pages by https where no public authority can vouch for anything: names that end in
// .local, and private addresses.
//
// A phone that trusts the root trusts it for nothing else: the root carries critical name
// constraints (RFC 5280, 4.2.1.10) that permit only those names and addresses, a path
// length of 0, and servers as the only use. Whoever steals its key can pretend to be
// this nursery on its own network, and never a bank. The key lies in one file that only
// the account of the service may read; certificates made with it last thirty days and
// are made anew in time.
package vouch
