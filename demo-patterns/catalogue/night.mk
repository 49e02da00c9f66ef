# Every style of a catalogue on one machine, several at a time; start it again and only what is missing or changed is done:
#
#   find catalogue -name style.json | sort > styles.txt
#   make -f night.mk -j 8 -k LIST=styles.txt OUT=night
#
# -k goes on past a style that cannot be graded; "summary.sh night styles.txt" tells what was found. make cannot take a path with a space, a
# colon, a dollar or a percent sign in it. Where there is one, GNU parallel does the same:
#
#   parallel -j 8 bash one-style.sh {} night < styles.txt
HERE := $(dir $(lastword $(MAKEFILE_LIST)))
OUT ?= night
STYLES ?= $(shell cat "$(LIST)")
.PHONY: all $(STYLES)
all: $(STYLES)
$(STYLES):
	@bash "$(HERE)one-style.sh" "$@" "$(OUT)"
