package main

const about = "How cold will the plants get, whom does it hurt, and who gets the covers."

// commands are what the program can do. Each is a struct of its options with a
// Run method.
type commands struct {
	Check    checkCommand    `cmd:"" help:"Read a site file: every mistake with its place, everything assumed, every plant's limits."`
	Simulate simulateCommand `cmd:"" help:"Temperatures of one space hour by hour, under the covers and with the heaters its file describes."`
	Plan     planCommand     `cmd:"" help:"The plan for the coming freeze: who gets what, why, and what was refused at what price."`
	Sheet    sheetCommand    `cmd:"" help:"The plan on paper: a run sheet to print, or the jobs for a calendar."`
	Serve    serveCommand    `cmd:"" help:"Keep a plan up to date and show it to phones on your network."`
	Demo     demoCommand     `cmd:"" help:"An invented nursery before a bad week: its plan, and the page."`
	Backup   backupCommand   `cmd:"" help:"Copy a ledger, checked, while others use it."`
	Restore  restoreCommand  `cmd:"" help:"Put a checked copy of a backup in a new place."`
}
