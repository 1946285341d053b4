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

    /// <summary>A file of 13 MiB; by its path the browser takes it from the disk, and its driver need not carry it.</summary>
    public string Large { get; } = Path.Combine(Path.GetTempPath(), $"evenwater-{Guid.NewGuid():N}.jpg");

    /// <inheritdoc />
    public async ValueTask InitializeAsync()
    {
        await File.WriteAllBytesAsync(Large, new byte[13 * 1024 * 1024]);
        await _daemon.BeginAsync();
    }

    /// <inheritdoc />
    public ValueTask DisposeAsync()
    {
        _daemon.Dispose();
        File.Delete(Large);
        return ValueTask.CompletedTask;
    }
}
