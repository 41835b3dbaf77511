#!/bin/sh
# Several machines on one, for a trial: a PostgreSQL primary, a standby without which
# it acknowledges nothing, two replicas of Larkfold, and nginx before them. Run it as
# an ordinary user; everything lies in one folder, and listens on loopback only.
#
#	several.sh FOLDER start      make and start all of it; again after a stop
#	several.sh FOLDER status     say what runs and what is ready
#	several.sh FOLDER fail       kill the primary, and make the standby the primary
#	several.sh FOLDER rejoin     make the killed server the standby of the new primary
#	several.sh FOLDER restart    restart both replicas, one after the other
#	several.sh FOLDER backup FILE    copy the store to a file, while it is in use
#	several.sh FOLDER restore FILE   put such a copy in the place of the store
#	several.sh FOLDER stop       stop all of it
#
# The settings of the replicas are taken from FOLDER/larkfold.env, as on the page
# (LARKFOLD_APPLICATION, LARKFOLD_PUBLIC_KEY, LARKFOLD_TOKEN_FILE). LARKFOLD names
# the program, if it is not on the PATH; PORT (7440) is that of the proxy, and the
# six behind it are taken too.
set -eu

# Ports, all on 127.0.0.1. Servers one and two take turns as the primary; of a
# replica the first port is for questions and the second one for its status.
proxy=${PORT:-7440}
one=$((proxy + 1)) two=$((proxy + 2))
replicas="a:$((proxy + 3)):$((proxy + 4)) b:$((proxy + 5)):$((proxy + 6))"

here=$(cd "$(dirname "$0")" && pwd)
folder=${1:?which folder?}
verb=${2:?start, status, fail, rejoin, restart, backup, restore or stop?}
larkfold=${LARKFOLD:-larkfold}
[ "$(id -u)" != 0 ] || { echo "PostgreSQL does not run as root: use an ordinary user" >&2; exit 1; }
file=${3:+$(realpath -m "$3")}
umask 077
mkdir -p "$folder"
cd "$folder"
folder=$PWD

bin=$(find /usr/lib/postgresql -path '*/bin/initdb' 2>/dev/null | sort -V | tail -n 1)
bin=$(dirname "${bin:-$(command -v initdb)}")
export PGPASSFILE="$folder/pgpass" LC_ALL=C.UTF-8 LARKFOLD_DRAIN="${LARKFOLD_DRAIN:-5s}"
store="postgres://larkfold@127.0.0.1:$one,127.0.0.1:$two/larkfold?sslmode=disable"

port_of() { eval echo "\$$1"; }
runs() { "$bin/pg_isready" -q -h 127.0.0.1 -p "$(port_of "$1")"; }
launch() { "$bin/pg_ctl" -D "$1" -l "$1.log" -w -o "-p $(port_of "$1") -k $folder" start >/dev/null; }
ask() { "$bin/psql" -qAt -h 127.0.0.1 -p "$1" -U larkfold -d "${3:-postgres}" -c "$2"; }

# primary is the name of the server that can be written to.
primary() {
	for server in one two; do
		if runs $server && [ "$(ask "$(port_of $server)" 'SELECT pg_is_in_recovery()')" = f ]; then
			echo $server
			return
		fi
	done
	echo "no primary runs" >&2
	return 1
}

make_primary() {
	head -c 24 /dev/urandom | base64 >password
	echo "127.0.0.1:*:*:larkfold:$(cat password)" >pgpass
	"$bin/initdb" --encoding=UTF8 --locale=C --auth=scram-sha-256 --username=larkfold --pwfile=password --pgdata=one >initdb.log
	cat "$here/postgresql.conf" >>one/postgresql.conf
	launch one
	ask $one 'CREATE DATABASE larkfold'
}

# follow SERVER OTHER makes SERVER a standby of OTHER, from nothing, and has OTHER wait for it.
# A killed server leaves its socket's lock behind too, which would keep a new one away.
follow() {
	rm -rf "$1" ".s.PGSQL.$(port_of "$1")" ".s.PGSQL.$(port_of "$1").lock"
	"$bin/pg_basebackup" -h 127.0.0.1 -p "$(port_of "$2")" -U larkfold -D "$1" --checkpoint=fast --write-recovery-conf
	echo "primary_conninfo = 'host=127.0.0.1 port=$(port_of "$2") user=larkfold passfile=$PGPASSFILE application_name=follower'" >>"$1/postgresql.auto.conf"
	launch "$1"
	ask "$(port_of "$2")" "ALTER SYSTEM SET synchronous_standby_names = 'follower'"
	ask "$(port_of "$2")" 'SELECT pg_reload_conf()' >/dev/null
}

each_replica() {
	for replica in $replicas; do
		name=${replica%%:*} ports=${replica#*:}
		"$1" "$name" "${ports%:*}" "${ports#*:}"
	done
}
start_replica() {
	(
		# shellcheck disable=SC1091 # it is the operator's own
		[ ! -f larkfold.env ] || { set -a; . "$folder/larkfold.env"; set +a; }
		exec "$larkfold" serve --store "$store" --key-file key --data "data-$1" --replica "$1" \
			--http "127.0.0.1:$2" --status "127.0.0.1:$3" >>"replica-$1.log" 2>&1
	) &
	echo $! >"replica-$1.pid"
	tries=0
	until "$larkfold" ready --status "127.0.0.1:$3" >/dev/null 2>&1; do
		tries=$((tries + 1))
		if [ $tries -gt 300 ] || ! kill -0 "$(cat "replica-$1.pid")" 2>/dev/null; then
			tail -n 3 "replica-$1.log" >&2
			return 1
		fi
		sleep 0.1
	done
}
stop_replica() {
	[ -f "replica-$1.pid" ] || return 0
	pid=$(cat "replica-$1.pid")
	rm "replica-$1.pid"
	kill "$pid" 2>/dev/null || return 0
	while kill -0 "$pid" 2>/dev/null; do sleep 0.1; done
}
restart_replica() { stop_replica "$@"; start_replica "$@"; }
tell_replica() { printf 'replica %s: %s\n' "$1" "$("$larkfold" ready --status "127.0.0.1:$3" 2>&1)"; }

# The proxy's file is the one for a real machine, without TLS and on a port of the trial.
start_proxy() {
	command -v nginx >/dev/null || { echo "nginx is not installed; the replicas answer at 127.0.0.1:$((proxy + 3)) and $((proxy + 5))"; return; }
	{
		echo "pid $folder/nginx.pid; error_log $folder/nginx.log; events {} http { access_log off;"
		for temp in client_body proxy fastcgi uwsgi scgi; do echo "${temp}_temp_path $folder/nginx-$temp;"; done
		sed -e '/ssl_certificate/d' -e '/listen \[::\]/d' -e "s/listen 443 ssl/listen 127.0.0.1:$proxy/" \
			-e 's/server_name .*;/server_name _;/' \
			-e "s/one.internal:7416/127.0.0.1:$((proxy + 3))/" -e "s/two.internal:7416/127.0.0.1:$((proxy + 5))/" "$here/nginx-several.conf"
		echo '}'
	} >nginx.conf
	nginx -c "$folder/nginx.conf" 2>>nginx.log
}

case $verb in
start)
	[ -d one ] || make_primary
	[ -f key ] || "$larkfold" keygen key
	for server in one two; do
		[ ! -d $server ] || runs $server || launch $server
	done
	[ -d two ] || follow two one
	each_replica start_replica
	start_proxy
	;;
status)
	for server in one two; do
		if runs $server; then
			case $(ask "$(port_of $server)" 'SELECT pg_is_in_recovery()') in f) what=primary ;; *) what=standby ;; esac
			echo "server $server: $what"
		else
			echo "server $server: does not run"
		fi
	done
	each_replica tell_replica
	;;
fail)
	old=$(primary)
	case $old in one) new=two ;; *) new=one ;; esac
	kill -9 "$(head -n 1 "$old/postmaster.pid")"
	"$bin/pg_ctl" -D $new -w promote >/dev/null
	# It has no standby yet, and must not wait for one.
	ask "$(port_of $new)" "ALTER SYSTEM RESET synchronous_standby_names"
	ask "$(port_of $new)" 'SELECT pg_reload_conf()' >/dev/null
	echo "server $new is the primary now; rejoin makes $old its standby"
	;;
rejoin)
	new=$(primary)
	case $new in one) old=two ;; *) old=one ;; esac
	! runs $old || { echo "server $old runs already" >&2; exit 1; }
	follow $old "$new"
	;;
restart) each_replica restart_replica ;;
backup) "$bin/pg_dump" -h 127.0.0.1 -p "$(port_of "$(primary)")" -U larkfold -d larkfold --format=custom --file="${file:?into which file?}" ;;
restore)
	[ -f "${file:?from which file?}" ]
	port=$(port_of "$(primary)")
	each_replica stop_replica
	"$bin/pg_restore" -h 127.0.0.1 -p "$port" -U larkfold -d larkfold --clean --if-exists --single-transaction "$file"
	"$larkfold" check --store "$store" --key-file key
	each_replica start_replica
	;;
stop)
	[ ! -f nginx.pid ] || kill "$(cat nginx.pid)"
	each_replica stop_replica
	for server in two one; do
		! runs $server || "$bin/pg_ctl" -D $server -w -m fast stop >/dev/null
	done
	;;
*)
	echo "several.sh: no such thing as $verb" >&2
	exit 1
	;;
esac
