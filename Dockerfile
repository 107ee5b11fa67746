# Two stages: everything is built with exact versions and hashes, then carried over without any build tool.
FROM python:3.11-slim AS build
WORKDIR /build
RUN python -m venv /venv
COPY .ci/requirements-server.txt .ci/requirements-server.txt
RUN /venv/bin/pip install --no-cache-dir --require-hashes -r .ci/requirements-server.txt
COPY pyproject.toml README.md LICENSE ./
COPY pricebooks pricebooks
COPY estimator estimator
RUN /venv/bin/pip install --no-cache-dir --no-deps .

FROM python:3.11-slim
RUN useradd --system --uid 10001 --create-home --home-dir /var/lib/estimator estimator
COPY --from=build /venv /venv
ENV PYTHONDONTWRITEBYTECODE=1 HOME=/var/lib/estimator
# The root may be read-only: only the volume and /tmp are written to.
USER 10001
WORKDIR /var/lib/estimator
VOLUME /var/lib/estimator
EXPOSE 8080
HEALTHCHECK --interval=30s --timeout=3s --start-period=60s \
  CMD ["/venv/bin/python", "-c", "import urllib.request as r; r.urlopen('http://127.0.0.1:8080/livez', timeout=2)"]
ENTRYPOINT ["/venv/bin/estimator"]
CMD ["serve", "--host", "0.0.0.0", "--port", "8080", "--data", "/var/lib/estimator"]
