// Package labour learns how long handling takes from jobs that are done: each number of the site file's [labour]
// table that the grower left open starts as a stated judgement and moves towards what the nursery's own crew needs.
package labour
