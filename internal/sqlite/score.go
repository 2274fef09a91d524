package sqlite

import (
	"context"
	"database/sql"
	"math"

	"wormyard/twin"
)

// KeepScores puts scores down for ever, with the readings that were looked at: all
// or none. A score that is there already stays as it is.
func (s *Store) KeepScores(ctx context.Context, list []twin.Score, looked []string) error {
	return s.change(ctx, func(tx *sql.Tx) error {
		put, err := tx.PrepareContext(ctx, `INSERT INTO score (bin,entry,kind,horizon_days,hour,issue,depth,told,sd,p05,p25,p50,p75,p95,below,crps,last_crps,season_crps,make,made)
			VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?,?) ON CONFLICT DO NOTHING`)
		if err != nil {
			return err
		}
		defer put.Close()
		for _, x := range list {
			if _, err := put.ExecContext(ctx, x.Bin, x.Entry, string(x.Kind), x.Days, x.Hour, x.Issue, x.DepthM, x.Told, x.SD,
				x.Low, x.LowMid, x.Mid, x.HighMid, x.High, x.Below, x.CRPS, orNone(x.LastCRPS), orNone(x.SeasonCRPS), x.Make, x.Made); err != nil {
				return err
			}
		}
		for _, e := range looked {
			if _, err := tx.ExecContext(ctx, "INSERT INTO scored (entry) VALUES (?) ON CONFLICT DO NOTHING", e); err != nil {
				return err
			}
		}
		return nil
	})
}

// orNone keeps what is not a number as nothing.
func orNone(v float64) any {
	if math.IsNaN(v) {
		return nil
	}
	return v
}

// Looked gives the readings that were looked at, scored or not.
func (s *Store) Looked(ctx context.Context) (map[string]bool, error) {
	out := map[string]bool{}
	if ok, err := s.has(ctx, "scored"); err != nil || !ok {
		return out, err
	}
	rows, err := s.read.QueryContext(ctx, "SELECT entry FROM scored")
	if err != nil {
		return nil, wrap(s.path, err)
	}
	defer rows.Close()
	for rows.Next() {
		var e string
		if err := rows.Scan(&e); err != nil {
			return nil, wrap(s.path, err)
		}
		out[e] = true
	}
	return out, wrap(s.path, rows.Err())
}

// Scores gives every score, in the order of the readings.
func (s *Store) Scores(ctx context.Context) ([]twin.Score, error) {
	if ok, err := s.has(ctx, "score"); err != nil || !ok {
		return nil, err
	}
	rows, err := s.read.QueryContext(ctx, `SELECT bin,entry,kind,horizon_days,hour,issue,depth,told,sd,p05,p25,p50,p75,p95,below,crps,last_crps,season_crps,make,made
		FROM score ORDER BY hour, entry, bin, kind, horizon_days`)
	if err != nil {
		return nil, wrap(s.path, err)
	}
	defer rows.Close()
	var out []twin.Score
	for rows.Next() {
		var x twin.Score
		var last, season sql.NullFloat64
		if err := rows.Scan(&x.Bin, &x.Entry, &x.Kind, &x.Days, &x.Hour, &x.Issue, &x.DepthM, &x.Told, &x.SD,
			&x.Low, &x.LowMid, &x.Mid, &x.HighMid, &x.High, &x.Below, &x.CRPS, &last, &season, &x.Make, &x.Made); err != nil {
			return nil, wrap(s.path, err)
		}
		x.LastCRPS, x.SeasonCRPS = orNaN(last), orNaN(season)
		out = append(out, x)
	}
	return out, wrap(s.path, rows.Err())
}

func orNaN(v sql.NullFloat64) float64 {
	if !v.Valid {
		return math.NaN()
	}
	return v.Float64
}
