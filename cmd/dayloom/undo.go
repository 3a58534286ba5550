package main

import (
	"github.com/spf13/cobra"

	"dayloom/exporters/job"
	"dayloom/schedule/calendar/journal"
)

func journalUndoCommand(w world) *cobra.Command {
	return &cobra.Command{
		Use:   "undo PLAN",
		Short: "Cancel the last entry of the journal by one more entry",
		Long: `undo adds an entry that cancels the last one that is not yet undone; nothing is taken away. It has
the date of the entry that it cancels: the days from then on are worked out again.`,
		Example: `  dayloom journal undo quay-street/plan.yaml`,
		Args:    exactly("PLAN"),
		RunE: func(_ *cobra.Command, args []string) error {
			entries, err := w.journal(args[0])
			if err != nil {
				return err
			}
			k := journal.Last(entries)
			if k < 0 {
				return &failure{code: exitFile, message: job.JournalPath(args[0]) + ": there is no entry to undo"}
			}
			return w.addEntry(args[0], entryFlags{do: "undo", date: entries[k].Date.String()})
		},
	}
}
