#!/bin/sh
# Stops the service; what it kept in /var/lib/coldnight stays.
set -e
if [ "$1" = remove ] && [ -d /run/systemd/system ]; then
	systemctl disable --now coldnight.service || true
fi
