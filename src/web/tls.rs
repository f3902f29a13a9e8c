//! The certificate and the key that the page is served with, as their files hold them.

use crate::quantity::Problem;
use std::sync::Arc;
use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::client::verify_server_name;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer, ServerName};
use tokio_rustls::rustls::server::ParsedCertificate;
use tokio_rustls::rustls::{Error, ServerConfig};

/// In which order the files are named.
pub const ORDER: &str = "`--tls` takes two files: first the certificate, then its key.";

/// A file in PEM form.
pub struct PemFile {
    /// How it is called in what is said of it.
    pub name: String,
    /// What is in it.
    pub text: Vec<u8>,
}

/// A certificate with its key, ready to serve.
pub struct Tls {
    pub(super) acceptor: TlsAcceptor,
    own: CertificateDer<'static>,
}

impl Tls {
    /// Of both files. What is wrong with them is said here, and not to the first visitor.
    pub fn of(certificate: &PemFile, key: &PemFile) -> Result<Self, Problem> {
        let chain: Vec<CertificateDer<'static>> = CertificateDer::pem_slice_iter(&certificate.text)
            .collect::<Result<_, _>>()
            .unwrap_or_default();
        let Some(own) = chain.first().cloned() else {
            return Err(no_pem(certificate, "certificate"));
        };
        let private = PrivateKeyDer::from_pem_slice(&key.text).map_err(|_| {
            no_pem(key, "private key").hint("A key with a password cannot be used.")
        })?;
        let config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .and_then(|config| {
                let config = config.with_no_client_auth();
                config.with_single_cert(chain, private)
            });
        let (certificate, key) = (&certificate.name, &key.name);
        match config {
            Ok(mut config) => {
                config.alpn_protocols = vec![b"http/1.1".to_vec()];
                Ok(Self {
                    acceptor: TlsAcceptor::from(Arc::new(config)),
                    own,
                })
            }
            Err(Error::InconsistentKeys(_)) => Err(Problem::new(format!(
                "the key {key} does not belong to the certificate {certificate}"
            ))
            .hint("Name the key with which that certificate was made.")),
            Err(error) => Err(Problem::new(format!(
                "nothing can be served with the certificate {certificate} and the key {key}: {error}"
            ))),
        }
    }

    /// Whether the certificate is made out to this name or address: browsers refuse another.
    pub fn is_for(&self, name: &str) -> bool {
        let (Ok(name), Ok(parsed)) = (
            ServerName::try_from(name),
            ParsedCertificate::try_from(&self.own),
        ) else {
            return false;
        };
        verify_server_name(&parsed, &name).is_ok()
    }
}

fn no_pem(file: &PemFile, what: &str) -> Problem {
    Problem::new(format!("{} holds no {what} in PEM form", file.name))
        .hint(ORDER)
        .hint(format!(
            "Such a file begins with -----BEGIN {}-----.",
            what.to_uppercase()
        ))
}
