package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"larkfold/bot"
	"larkfold/cmd/larkfold/files"
	"larkfold/commands"
	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/pgstore"
)

// finding is what doctor says of one thing, and what is to be done about it.
type finding struct {
	mark mark
	what string
	says string
	todo string // nothing for nothing
}

type mark string

const (
	fine mark = "ok"
	look mark = "look" // may be meant
	bad  mark = "bad"
)

func (f finding) write(to io.Writer) {
	fmt.Fprintf(to, "%-5s %-10s %s\n", f.mark, f.what, f.says)
	if f.todo != "" {
		fmt.Fprintf(to, "%-16s -> %s\n", "", f.todo)
	}
}

func doctorCommand(place *place) *cobra.Command {
	s := serving{place: place}
	cmd := &cobra.Command{
		Use:   "doctor",
		Short: "Say what the bot is set to and what is wrong, and what to do about it",
		Long: "Says what is set and where, then tries the key, the store, its disk and backups, the platform, the\n" +
			"clock and the registered commands. It changes nothing. The exit status is 1 where something is bad.",
		Args: cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			out := cmd.OutOrStdout()
			err := s.tell(out, cmd.Flags())
			if err == nil {
				err = s.sound()
			}
			if err != nil {
				finding{bad, "settings", err.Error(), "mend this first; the rest was not looked at"}.write(out)
				return errRefused
			}
			fmt.Fprintln(out)
			worst := fine
			for _, f := range append(s.examineStore(ctx), s.examinePlatform(ctx, cmd)...) {
				f.write(out)
				if f.mark == bad {
					worst = bad
				}
			}
			if worst == bad {
				return errRefused
			}
			return nil
		}),
	}
	s.flags(cmd.Flags())
	return cmd
}

// examineStore looks at the key, the store, its disk and its backups.
func (s *serving) examineStore(ctx context.Context) []finding {
	file, opts, err := s.place.file()
	if err != nil {
		return []finding{{bad, "key", err.Error(), ""}}
	}
	if s.place.address != "" {
		f, err := s.examineRemote(ctx, opts)
		return []finding{s.examineKey(file, opts, err), f}
	}
	f, err := s.examineFile(ctx, file, opts)
	return []finding{s.examineKey(file, opts, err), f, s.examineDisk(file), s.examineBackups(file)}
}

// examineKey looks at the key, knowing what opening the store came to.
func (s *serving) examineKey(file string, opts store.Options, opening error) finding {
	made := s.place.keyToBe(file, opts)
	switch {
	case made != "":
		return finding{fine, "key", "serve makes one at its first start, in " + made + "; copy it to another machine then", ""}
	case opts.Key == nil && errors.Is(opening, store.ErrWrongKey):
		return finding{bad, "key", "none is set, and the store has one", "set LARKFOLD_KEY_FILE to its file"}
	case opts.Key == nil:
		return finding{look, "key", "none is set: what members save lies open in a store without one, and in its backups", "larkfold keygen FILE, then set LARKFOLD_KEY_FILE"}
	case errors.Is(opening, store.ErrWrongKey):
		return finding{bad, "key", opts.Key.ID() + ", which is not the store's", "set LARKFOLD_KEY_FILE to the file of the key that the store names"}
	}
	return finding{fine, "key", opts.Key.ID() + "; is there a copy of it on another machine?", ""}
}

// examineFile looks at a store in a file, and returns what opening it came to.
func (s *serving) examineFile(ctx context.Context, file string, opts store.Options) (finding, error) {
	f := finding{fine, "store", file, ""}
	info, err := os.Stat(file)
	if errors.Is(err, fs.ErrNotExist) {
		f.says += " is not there yet; serve makes it"
		return f, nil
	}
	if err == nil {
		f.says += fmt.Sprintf(", %s", inBytes(info.Size()))
		var held *opened
		if held, err = s.place.openAsItIs(ctx, file, opts); err == nil {
			err = held.Close()
		}
	}
	switch {
	case errors.Is(err, store.ErrLocked):
		f.says += ", in use: the bot runs"
	case errors.Is(err, store.ErrReadOnly):
		f.mark, f.says = look, f.says+". "+err.Error()
	case errors.Is(err, store.ErrDamaged):
		f.mark, f.says, f.todo = bad, err.Error(), "larkfold restore, with the newest backup that larkfold check finds sound"
	case errors.Is(err, fs.ErrPermission):
		f.mark, f.says, f.todo = bad, files.Plain(err).Error(), "ask as the bot's user, or as root: sudo larkfold-admin doctor"
	case err != nil:
		f.mark, f.says = bad, err.Error()
	}
	return f, err
}

// examineRemote looks at a store on a server. Its disk and its backups are the server's.
func (s *serving) examineRemote(ctx context.Context, opts store.Options) (finding, error) {
	f := finding{fine, "store", "", ""}
	engine, err := pgstore.Open(ctx, s.place.address, pgstore.Options{ReadOnly: true})
	if err == nil {
		f.says = engine.Place()
		_, err = store.New(ctx, engine, opts)
		err = errors.Join(err, engine.Close())
	}
	switch {
	case errors.Is(err, store.ErrWrongKey):
		f.mark, f.says = bad, err.Error()
	case errors.Is(err, store.ErrNotFound), errors.Is(err, store.ErrReadOnly):
		f.mark, f.says, f.todo = look, "the server answers, and the store is not there yet, not sealed yet or from an earlier version", "the next start makes it, or brings it up to date"
	case err != nil:
		f.mark, f.says, f.todo = bad, err.Error(), "larkfold serve needs that server; see what it says in its own log"
	}
	return f, err
}

func (s *serving) examineDisk(file string) finding {
	f := finding{fine, "disk", "", ""}
	dir := filepath.Dir(file)
	for _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) && dir != filepath.Dir(dir); _, err = os.Stat(dir) {
		dir = filepath.Dir(dir)
	}
	room, err := boltstore.DiskRoom(dir)
	if err != nil {
		return finding{bad, "disk", err.Error(), "make the folder readable to this user, or name another with LARKFOLD_DATA"}
	}
	if room < 0 {
		f.says = "this system does not say how much room is left"
		return f
	}
	f.says = inBytes(room) + " left"
	var size int64
	if info, err := os.Stat(file); err == nil {
		size = info.Size()
	}
	const little = 256 << 20
	switch {
	case room < size+little/8:
		f.mark, f.todo = bad, "make room: a backup and a tidying each need as much as the store"
	case room < 3*size+little:
		f.mark, f.todo = look, "make room before long, or keep fewer backups: LARKFOLD_KEEP_BACKUPS"
	}
	return f
}

func (s *serving) examineBackups(file string) finding {
	f := finding{fine, "backups", "", ""}
	dir := s.place.backupsFolder(filepath.Dir(file))
	if s.keep.every <= 0 {
		return finding{look, "backups", "none are made", "take out LARKFOLD_BACKUP_EVERY, unless something else makes them"}
	}
	row, err := (&boltstore.Backups{Dir: dir}).List()
	if err != nil {
		return finding{bad, "backups", err.Error(), "make the folder readable to this user, or name another with LARKFOLD_BACKUPS"}
	}
	if len(row) == 0 {
		f.says = "none yet in " + dir + "; the first is made at the first start"
		return f
	}
	newest := row[len(row)-1]
	age := time.Since(newest.Time)
	f.says = fmt.Sprintf("%d; the newest is %s old: %s", len(row), age.Round(time.Minute), newest.Path)
	if age > 2*s.keep.every {
		f.mark, f.todo = bad, "look into the log for why none was made, or start the bot"
	}
	return f
}

// examinePlatform asks the platform, if it can be reached, and the running bot.
func (s *serving) examinePlatform(ctx context.Context, cmd *cobra.Command) []finding {
	log := s.log.open(io.Discard)
	config, err := s.platform.config(cmd.Flags(), commands.New(commands.Config{}), log)
	if err == nil {
		config.Timing.Silence = 5 * time.Second // to wait for the platform
		var b *bot.Bot
		if b, err = bot.New(config); err == nil {
			return append(s.examineCommands(ctx, b), s.examineRunning(ctx))
		}
	}
	return []finding{{bad, "settings", strings.ReplaceAll(err.Error(), "\n", "; "), "mend this in larkfold.env, or with the flag of the same name"}}
}

func (s *serving) examineCommands(ctx context.Context, b *bot.Bot) []finding {
	if s.platform.token == "" && s.platform.tokenFile == "" {
		return []finding{{look, "platform", "not asked: there is no token", ""}}
	}
	r, err := b.Register(ctx, s.platform.guild, true)
	if err != nil {
		return []finding{{bad, "platform", err.Error(), "is this machine online, and is the token the newest one?"}}
	}
	application, err := b.Application(ctx)
	if err != nil {
		return []finding{{bad, "platform", err.Error(), ""}}
	}
	all := []finding{{fine, "platform", "answers; the application is " + application, ""}, clockFinding(b.ClockAhead())}
	registered := finding{fine, "commands", "registered everywhere, as they should be", ""}
	if s.platform.guild != "" {
		registered = finding{look, "commands", "registered in the server " + s.platform.guild + " only", "take out LARKFOLD_GUILD when everybody may have them"}
	}
	if !r.Same() {
		registered.mark = look
		registered.says = fmt.Sprintf("not as they should be: %d missing, %d other, %d too many", len(r.Added), len(r.Changed), len(r.Removed))
		registered.todo = "larkfold register, or start the bot, which does the same"
	}
	all = append(all, registered)
	if twice, err := b.Doubled(ctx); err != nil {
		all = append(all, finding{bad, "commands", err.Error(), ""})
	} else if len(twice) > 0 {
		all = append(all, finding{bad, "commands", fmt.Sprintf("%d stand in the list for everywhere too, and that server sees them twice", len(twice)), "larkfold unregister"})
	}
	return all
}

// clockFinding judges a clock: signed requests are refused when it is minutes off.
func clockFinding(ahead time.Duration) finding {
	const mostly, atMost = 10 * time.Second, 2 * time.Minute
	f := finding{fine, "clock", "as the platform's", ""}
	if off := ahead.Abs(); off > mostly {
		f.says = fmt.Sprintf("%s ahead of the platform's", off.Round(time.Second))
		if ahead < 0 {
			f.says = fmt.Sprintf("%s behind the platform's", off.Round(time.Second))
		}
		f.mark, f.todo = look, "set it, and let a time service keep it, such as systemd-timesyncd"
		if off > atMost {
			f.mark = bad
		}
	}
	return f
}

func (s *serving) examineRunning(ctx context.Context) finding {
	if s.platform.status == "" {
		return finding{look, "bot", "not asked: it has no status address", "set LARKFOLD_STATUS"}
	}
	ctx, stop := context.WithTimeout(ctx, 3*time.Second)
	defer stop()
	err := bot.Ready(ctx, s.platform.status)
	var network interface{ Timeout() bool }
	switch {
	case err == nil:
		return finding{fine, "bot", "runs and answers", ""}
	case errors.As(err, &network):
		return finding{look, "bot", "does not run: nobody answers at " + s.platform.status, "start it; if it ended by itself, its log says why"}
	}
	return finding{bad, "bot", "runs but is not ready: " + err.Error(), "wait a minute and ask again; its log says more"}
}

// inBytes writes a size as people read it.
func inBytes(n int64) string {
	const k = 1 << 10
	switch {
	case n < k*k:
		return fmt.Sprintf("%d KiB", (n+k-1)/k)
	case n < k*k*k:
		return fmt.Sprintf("%.1f MiB", float64(n)/(k*k))
	}
	return fmt.Sprintf("%.1f GiB", float64(n)/(k*k*k))
}
