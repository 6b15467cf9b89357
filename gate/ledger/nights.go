package ledger

import (
	"context"
	"fmt"
	"time"
)

// NightMonths lists the months ("2031-01") of the nights before that date of which any plan speaks, the newest first.
func (l *Ledger) NightMonths(ctx context.Context, before string) ([]string, error) {
	return many(ctx, l, "list the months", scanText, `SELECT DISTINCT substr(night, 1, 7) AS month FROM plan_night WHERE night < $1 ORDER BY month DESC`, before)
}

// Nights lists the nights of which any plan speaks, from a date on and before another, the newest first.
func (l *Ledger) Nights(ctx context.Context, from, before string) ([]string, error) {
	return many(ctx, l, "list the nights", scanText, `SELECT DISTINCT night FROM plan_night WHERE night >= $1 AND night < $2 ORDER BY night DESC`, from, before)
}

func scanText(row scanner) (s string, err error) {
	err = row.Scan(&s)
	return s, err
}

// NightPlan returns the last plan for a night that was made for a moment before dusk, and how many plans spoke of that
// night; where all were made later, the first of them. It is a *NoneError when none does.
func (l *Ledger) NightPlan(ctx context.Context, night string, dusk time.Time) (p Plan, plans int, err error) {
	var id int64
	err = l.db.QueryRowContext(ctx, `
		SELECT plan.id, count(*) OVER () FROM plan_night n JOIN plan ON plan.id = n.plan_id WHERE n.night = $1
		ORDER BY plan.now_ms > $2, CASE WHEN plan.now_ms > $2 THEN plan.now_ms ELSE -plan.now_ms END, plan.id DESC LIMIT 1`,
		night, dusk.UnixMilli()).Scan(&id, &plans)
	if err != nil {
		return Plan{}, 0, l.missing(fmt.Sprintf("plan for the night of %s", night), err)
	}
	p, err = l.Plan(ctx, id)
	return p, plans, err
}

// NightTicks returns what stands of that night alone, the first ticked first.
func (l *Ledger) NightTicks(ctx context.Context, night string) ([]Tick, error) {
	return many(ctx, l, "read the ticks", func(row scanner) (Tick, error) { return scanTick(row) }, selectTick+`AND night = $1 ORDER BY done_ms, id`, night)
}
