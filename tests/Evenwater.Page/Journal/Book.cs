namespace Evenwater.PageTests.Journal;

/// <summary>Tests that write into the book, one after the other, of a daemon of its own: what they write is nothing to the others, which then need not wait for them.</summary>
[CollectionDefinition(Name)]
public sealed class Book : ICollectionFixture<BookSite>
{
    /// <summary>The collection's name.</summary>
    public const string Name = "Book";
}

/// <summary>The daemon whose book is written.</summary>
public sealed class BookSite : IAsyncLifetime
{
    private readonly DrippingDaemon _daemon = new();

    /// <summary>Where its page is.</summary>
    public Uri Origin => _daemon.Origin;

    /// <inheritdoc />
    public async ValueTask InitializeAsync() => await _daemon.BeginAsync();

    /// <inheritdoc />
    public ValueTask DisposeAsync()
    {
        _daemon.Dispose();
        return ValueTask.CompletedTask;
    }
}
