package main

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"larkfold/bot/platformtest"
)

// exposed are the metrics that a running bot serves, with their labels, once it has
// answered and refused over both ways out.
func exposed(t *testing.T) map[string]map[string]bool {
	t.Helper()
	p := platformtest.Start(t, platformtest.Options{})
	endpoint, status := freeAddress(t), freeAddress(t)
	var log bytes.Buffer
	cmd := exec.Command("larkfold", "serve", "--http", endpoint, "--public-key", p.PublicKey, "--status", status, "--data", t.TempDir())
	cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL)
	cmd.Stderr = &log
	require.NoError(t, cmd.Start())
	defer func() {
		require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
		require.NoError(t, cmd.Wait(), "%s", &log)
	}()
	get := func(url string) string {
		resp, err := http.Get(url)
		if err != nil {
			return ""
		}
		defer resp.Body.Close()
		text, err := io.ReadAll(resp.Body)
		require.NoError(t, err)
		return string(text)
	}
	p.Until("ready", func() bool { return get("http://"+status+"/readyz") == "ready\n" })
	p.Endpoint("http://" + endpoint + "/interactions")
	require.Contains(t, p.Member("Ana").Slash("/prefs units:metric").Text(), "metric")
	_, err := http.Post("http://"+endpoint+"/interactions", "application/json", strings.NewReader("{}"))
	require.NoError(t, err)
	p.Until("measured", func() bool { // which comes after the answer
		figures := get("http://" + status + "/metrics")
		return strings.Contains(figures, "larkfold_interaction_seconds_count") && strings.Contains(figures, "larkfold_first_answer_seconds_count")
	})

	all := map[string]map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^([a-z_]+)(?:\{(.*)\})? `).FindAllStringSubmatch(get("http://"+status+"/metrics"), -1) {
		labels := all[m[1]]
		if labels == nil {
			labels = map[string]bool{}
			all[m[1]] = labels
		}
		for _, l := range regexp.MustCompile(`([a-z_]+)="`).FindAllStringSubmatch(m[2], -1) {
			labels[l[1]] = true
		}
	}
	return all
}

var (
	metricInUse = regexp.MustCompile(`\b((?:larkfold|process|go)_[a-z_]+)(?:\{([^}]*)\})?`)
	labelInUse  = regexp.MustCompile(`([a-z_]+)(?:=~|!~|!=|=)`)
	groupedBy   = regexp.MustCompile(`by \(([a-z_, ]+)\)`)
)

// The alert rules and the dashboard speak of metrics and labels that there are.
func TestAlertsAndDashboardUseMetricsThatExist(t *testing.T) {
	var rules struct {
		Groups []struct {
			Name  string
			Rules []struct {
				Alert, Expr, For    string
				Labels, Annotations map[string]string
			}
		}
	}
	text, err := os.ReadFile("../../deploy/alerts.yml")
	require.NoError(t, err)
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	decoder.KnownFields(true)
	require.NoError(t, decoder.Decode(&rules))
	used := map[string]string{} // expression -> where
	for _, group := range rules.Groups {
		for _, rule := range group.Rules {
			require.NotEmpty(t, rule.Expr, rule.Alert)
			require.NotEmpty(t, rule.Annotations["summary"], rule.Alert)
			require.NotEmpty(t, rule.Annotations["todo"], "%s does not say what to do", rule.Alert)
			require.Contains(t, []string{"page", "ticket"}, rule.Labels["severity"], rule.Alert)
			used[rule.Expr] = rule.Alert
		}
	}
	require.Greater(t, len(used), 10)

	var dashboard struct {
		Panels []struct {
			Title   string
			Targets []struct{ Expr string }
		}
	}
	text, err = os.ReadFile("../../deploy/dashboard.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &dashboard))
	for _, panel := range dashboard.Panels {
		require.NotEmpty(t, panel.Targets, panel.Title)
		for _, target := range panel.Targets {
			used[target.Expr] = panel.Title
		}
	}

	there := exposed(t)
	for expr, where := range used {
		labels := map[string]bool{"le": true}
		found := metricInUse.FindAllStringSubmatch(expr, -1)
		if len(found) == 0 {
			require.Contains(t, expr, "up{", "%s speaks of no metric of ours", where)
		}
		for _, m := range found {
			require.Contains(t, there, m[1], "%s: %s", where, expr)
			for label := range there[m[1]] {
				labels[label] = true
			}
			for _, l := range labelInUse.FindAllStringSubmatch(m[2], -1) {
				if l[1] != "job" {
					require.True(t, there[m[1]][l[1]], "%s: %s has no label %s", where, m[1], l[1])
				}
			}
		}
		for _, by := range groupedBy.FindAllStringSubmatch(expr, -1) {
			for _, label := range strings.Split(by[1], ",") {
				require.True(t, labels[strings.TrimSpace(label)], "%s groups by %s", where, label)
			}
		}
	}
}
