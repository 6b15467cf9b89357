// Package people decides who may see the nursery's pages and who may change what.
//
// At the first start nobody has joined: [Open] gives a code for the owner, which is
// shown in the terminal and nowhere else. With it the owner joins by name and
// password. Everybody else comes by an invitation, a secret of 128 bits that stands in
// a QR code, works once and for two days. Who has joined by invitation is known again
// by the phone; a password is only needed to sign in from another one.
//
//	book.go      joining, signing in, leaving
//	session.go   the phones that are signed in, to be listed and ended
//	attempts.go  how often may be tried
//	password.go  which passwords are refused
//
// Passwords are kept as argon2id (RFC 9106), codes, invitations and sessions as
// SHA-256 of themselves: who reads the ledger cannot sign in with what is in it. What
// people do is written down ([Book.Note]) and never taken out.
package people
