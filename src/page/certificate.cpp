// SPDX-License-Identifier: Apache-2.0
#include "certificate.hpp"

#include <fmt/core.h>
#include <openssl/ec.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509v3.h>
#include <unistd.h>

#include <array>
#include <memory>
#include <set>

#include "bakewright/base/error.hpp"
#include "bakewright/services/files.hpp"
#include "guard.hpp"

namespace bakewright::page {
namespace {

constexpr std::size_t kLargestPemBytes = std::size_t{1} << 20;
constexpr long kSecondsPerDay = 86400;

template <auto release>
struct Release {
    template <class Thing>
    void operator()(Thing* thing) const noexcept {
        release(thing);
    }
};
using Bio = std::unique_ptr<BIO, Release<BIO_free_all>>;
using Key = std::unique_ptr<EVP_PKEY, Release<EVP_PKEY_free>>;
using X509Pointer = std::unique_ptr<X509, Release<X509_free>>;
using Extension = std::unique_ptr<X509_EXTENSION, Release<X509_EXTENSION_free>>;

Bio bio_of(const std::string& text) { return Bio(BIO_new_mem_buf(text.data(), static_cast<int>(text.size()))); }

std::string text_of(BIO* bio) {
    char* data = nullptr;
    const long size = BIO_get_mem_data(bio, &data);
    return {data, static_cast<std::size_t>(size)};
}

/// Nobody is asked for a pass phrase: the page may have been started by a script.
int no_pass_phrase(char*, int, int, void*) { return -1; }

std::string fingerprint_of(const X509* certificate) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> hash{};
    unsigned int size = 0;
    ensure(X509_digest(certificate, EVP_sha256(), hash.data(), &size) == 1, "a certificate has a SHA-256");
    std::string text;
    for (unsigned int i = 0; i < size; ++i) text += fmt::format("{}{:02X}", i == 0 ? "" : ":", hash[i]);
    return text;
}

/// "DNS:booth,IP:127.0.0.1": a name may hold nothing that would end it.
std::string names_of(const std::string& host) {
    std::array<char, 256> machine{};
    static_cast<void>(::gethostname(machine.data(), machine.size() - 1));
    std::string list;
    for (const std::string& name :
         std::set<std::string>{without_brackets(host), machine.data(), "localhost", "127.0.0.1", "::1"}) {
        const bool is_number = is_address(name);
        if (!is_number && (name.empty() || name.find_first_of(",;: \n") != std::string::npos)) continue;
        list += fmt::format("{}{}:{}", list.empty() ? "" : ",", is_number ? "IP" : "DNS", name);
    }
    return list;
}

void add_extension(X509* certificate, int which, const std::string& value) {
    X509V3_CTX context;
    X509V3_set_ctx(&context, certificate, certificate, nullptr, nullptr, 0);
    const Extension extension(X509V3_EXT_conf_nid(nullptr, &context, which, value.c_str()));
    ensure(extension && X509_add_ext(certificate, extension.get(), -1) == 1, "a certificate takes its extensions");
}

void set_serial_number(X509* certificate) {
    std::uint64_t number = 0;
    ensure(RAND_bytes(reinterpret_cast<unsigned char*>(&number), sizeof number) == 1, "the system gives randomness");
    ASN1_INTEGER_set_uint64(X509_get_serialNumber(certificate), number >> 1U | 1U);
}

X509Pointer new_certificate(EVP_PKEY* key, const std::string& host) {
    X509Pointer made(X509_new());
    ensure(made != nullptr, "there is memory for a certificate");
    X509_set_version(made.get(), X509_VERSION_3);
    set_serial_number(made.get());
    X509_gmtime_adj(X509_getm_notBefore(made.get()), -kSecondsPerDay);
    X509_gmtime_adj(X509_getm_notAfter(made.get()), 90 * kSecondsPerDay);
    X509_set_pubkey(made.get(), key);
    X509_NAME* name = X509_get_subject_name(made.get());
    X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_ASC, reinterpret_cast<const unsigned char*>("bakewright"), -1, -1, 0);
    X509_set_issuer_name(made.get(), name);
    add_extension(made.get(), NID_basic_constraints, "critical,CA:FALSE");
    add_extension(made.get(), NID_ext_key_usage, "serverAuth");
    add_extension(made.get(), NID_subject_alt_name, names_of(host));
    ensure(X509_sign(made.get(), key, EVP_sha256()) > 0, "a certificate can be signed");
    return made;
}

}  // namespace

Certificate read_certificate(const std::string& certificate_file, const std::string& key_file) {
    Certificate read{
        services::read_file(certificate_file, kLargestPemBytes), services::read_file(key_file, kLargestPemBytes), {}};
    const X509Pointer certificate(PEM_read_bio_X509(bio_of(read.chain_pem).get(), nullptr, no_pass_phrase, nullptr));
    if (!certificate) throw InputError(Problem{certificate_file, 0, "--certificate", "holds no certificate in PEM"});
    const Key key(PEM_read_bio_PrivateKey(bio_of(read.key_pem).get(), nullptr, no_pass_phrase, nullptr));
    if (!key) throw InputError(Problem{key_file, 0, "--key", "holds no private key in PEM, without a pass phrase"});
    if (X509_check_private_key(certificate.get(), key.get()) != 1)
        throw InputError(Problem{key_file, 0, "--key", "is not the key of the certificate in " + certificate_file});
    read.fingerprint = fingerprint_of(certificate.get());
    return read;
}

Certificate self_signed_certificate(const std::string& host) {
    const Key key(EVP_EC_gen("P-256"));
    ensure(key != nullptr, "a key on P-256 can be made");
    const X509Pointer certificate = new_certificate(key.get(), host);
    const Bio chain_pem(BIO_new(BIO_s_mem())), key_pem(BIO_new(BIO_s_mem()));
    ensure(PEM_write_bio_X509(chain_pem.get(), certificate.get()) == 1, "a certificate can be written");
    ensure(PEM_write_bio_PrivateKey(key_pem.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr) == 1,
           "a key can be written");
    return {text_of(chain_pem.get()), text_of(key_pem.get()), fingerprint_of(certificate.get())};
}

}  // namespace bakewright::page
