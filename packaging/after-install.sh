#!/bin/sh
# Makes the user and the first site file; never writes over one that is there.
set -e
if ! getent passwd coldnight >/dev/null; then
	adduser --system --group --no-create-home --home /var/lib/coldnight coldnight
fi
mkdir -p /var/lib/coldnight
if [ ! -e /var/lib/coldnight/nursery.toml ]; then
	cp /usr/share/coldnight/nursery.toml /var/lib/coldnight/nursery.toml
fi
chown -R coldnight:coldnight /var/lib/coldnight
chmod 0750 /var/lib/coldnight
if [ -d /run/systemd/system ]; then
	systemctl daemon-reload
	systemctl enable coldnight.service
	systemctl restart coldnight.service
	echo "The code with which the owner joins stands in: journalctl -u coldnight"
fi
