"""Subscribes to sensors at an MQTT broker, by paho-mqtt in its own thread.

A retained message may be of any age: it counts only if it says when it was measured.
"""

import ssl
from typing import TYPE_CHECKING, Any

from bayapp.files.shop.sensor_settings import SensorSettings
from bayapp.sensing.message import OnMessage, SensorMessage
from bayapp.sensing.payload import BadMessageError, read_message
from bayapp.text.language import _

if TYPE_CHECKING:
    from paho.mqtt.client import Client, MQTTMessage

KEEP_ALIVE_S = 30
FIRST_PAUSE_S, LONGEST_PAUSE_S = 1, 30


class MqttSource:
    """Subscribes to one sensor's topics; reconnects by itself when the broker is back."""

    def __init__(self, sensor: SensorSettings, on_message: OnMessage) -> None:
        self._sensor, self._on_message = sensor, on_message
        self._client: Client | None = None

    def start(self) -> None:
        """Begin to listen; the broker need not be there yet."""
        from paho.mqtt.client import Client  # noqa: PLC0415 (loads only where a sensor needs it)
        from paho.mqtt.enums import CallbackAPIVersion  # noqa: PLC0415 (see above)

        sensor = self._sensor
        client = self._client = Client(CallbackAPIVersion.VERSION2)
        if sensor.user:
            client.username_pw_set(sensor.user, sensor.password or None)
        if sensor.tls:
            try:
                client.tls_set_context(ssl.create_default_context(cafile=sensor.ca_file or None))
            except OSError as trouble:
                self._report(f"{sensor.ca_file}: {trouble}")
                self._client = None
                return
        client.reconnect_delay_set(FIRST_PAUSE_S, LONGEST_PAUSE_S)
        client.on_connect = self._connected
        client.on_connect_fail = lambda *_args: self._report(
            _("no broker answers at {host}:{port}").format(host=sensor.host, port=sensor.port)
        )
        client.on_disconnect = self._gone
        client.on_message = self._message
        client.connect_async(sensor.host, sensor.port, KEEP_ALIVE_S)
        client.loop_start()

    @property
    def connected(self) -> bool:
        """Whether the broker has accepted the connection."""
        return self._client is not None and self._client.is_connected()

    def stop(self) -> None:
        """Disconnect."""
        if self._client:
            self._client.on_disconnect = None
            self._client.disconnect()
            self._client.loop_stop()
            self._client = None

    def _connected(self, client: "Client", data: Any, flags: Any, reason: Any, properties: Any) -> None:
        if reason.is_failure:
            self._report(_("the broker at {host} refuses: {reason}").format(host=self._sensor.host, reason=reason))
            return
        for topic in dict.fromkeys(topic.topic for topic in self._sensor.topic):
            try:
                client.subscribe(topic)
            except ValueError as trouble:
                self._report(_("{topic!r} is no topic: {trouble}").format(topic=topic, trouble=trouble))

    def _gone(self, client: "Client", data: Any, flags: Any, reason: Any, properties: Any) -> None:
        self._report(_("the broker at {host} is gone: {reason}").format(host=self._sensor.host, reason=reason))

    def _message(self, client: "Client", data: Any, message: "MQTTMessage") -> None:
        from paho.mqtt.client import topic_matches_sub  # noqa: PLC0415 (loaded with the client)

        try:
            came_on = message.topic
        except UnicodeDecodeError:
            return
        for topic in self._sensor.topic:
            if not topic_matches_sub(topic.topic, came_on):
                continue
            try:
                value, read_at = read_message(topic, bytes(message.payload))
            except BadMessageError as trouble:
                self._report(f"{came_on}: {trouble}")
                continue
            if read_at is None and message.retain:
                continue
            self._on_message(SensorMessage(self._sensor.id, topic.gives, value, read_at))

    def _report(self, trouble: str) -> None:
        self._on_message(SensorMessage(self._sensor.id, trouble=trouble))
