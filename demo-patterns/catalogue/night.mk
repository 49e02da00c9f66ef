# Every style of a catalogue on one machine, several at a time; start it again and only what is missing or changed is done:
#
#   find catalogue -name style.json | sort > styles.txt
#   make -f night.mk -j 8 -k LIST=styles.txt OUT=night
#
# -k goes on past a style that cannot be graded; "summary.sh night styles.txt" tells what was found. make sees the numbers of the lines alone:
# paths, LIST and OUT go past it and past the shell as they are, so that any character may stand in them but a line end. GNU parallel does the same:
#
#   parallel -j 8 bash one-style.sh {} night < styles.txt
SHELL := /bin/bash
quoted = '$(subst ','\'',$(1))'
OUT ?= night
export NIGHT_LIST := $(value LIST)
export NIGHT_OUT := $(value OUT)
export NIGHT_MK := $(MAKEFILE_LIST)
# The numbers of the lines that name a style.
LINES := $(shell LC_ALL=C sed -n '/[^\r]/=' <$(call quoted,$(value LIST)))
ifeq ($(LINES),)
$(error night.mk: LIST=$(value LIST) names no style)
endif
TASKS := $(LINES:%=line-%)
.PHONY: all $(TASKS)
all: $(TASKS)
$(TASKS): line-%:
	@mk="$${NIGHT_MK# }"; [ -f "$$mk" ] || mk="$${mk##* }"; \
	bash "$$(dirname -- "$$mk")/one-style.sh" "$$(sed -n '$*p' <"$$NIGHT_LIST")" "$$NIGHT_OUT"
