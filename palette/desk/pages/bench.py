"""The bench: one page that stays open while the work goes on. Its scripts ask for everything."""

from __future__ import annotations

from flask import Flask, make_response, render_template
from werkzeug.wrappers import Response

from palette.desk.bench import Desk
from palette.desk.pages import bench_of


def register(app: Flask, desk: Desk) -> None:
    @app.get("/kit/<int:number>/bench", endpoint="bench")
    def show(number: int) -> Response:
        kit = bench_of(desk, number).kit()
        return make_response(render_template("bench.html", kit=kit, problems=kit.warnings))
