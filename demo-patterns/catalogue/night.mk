# Every style of a catalogue on one machine, several at a time; start it again and only what is missing or changed is done:
#
#   make -f night.mk -j 8 -k STYLES="$(find catalogue -name style.json | tr '\n' ' ')" OUT=night
#
# -k goes on past a style that cannot be graded; "summary.sh night" tells what was found. Where paths hold spaces, GNU parallel does the same:
#
#   find catalogue -name style.json -print0 | parallel -0 -j 8 bash one-style.sh {} night
HERE := $(dir $(lastword $(MAKEFILE_LIST)))
OUT ?= night
.PHONY: all $(STYLES)
all: $(STYLES)
$(STYLES):
	@bash $(HERE)one-style.sh $@ $(OUT)
